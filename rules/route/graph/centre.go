package graph

import (
	"errors"
	"math"
)

// Centre is the place from which the farthest required vertex is nearest, on a vertex or between the ends of an edge: the
// absolute centre of a graph (Hakimi 1964, Operations Research 12, 450–459).
type Centre struct {
	Vertex int     // -1 on an edge
	Edge   int     // -1 on a vertex
	Along  float64 // on an edge: from its end A, above 0 and below its length

	Radius  float64 // length from there to the farthest required vertex
	AtLeast float64 // no place has a smaller radius than this
	Proven  bool    // Radius is the least there is, but for rounding in the tenth digit
	Work    int64   // steps that were spent
}

// ErrApart is returned where required vertices are not connected with each other.
var ErrApart = errors.New("the graph has several parts, expected every required vertex to be connected with every other")

// ErrFew is returned for a graph without required vertices.
var ErrFew = errors.New("no vertex is required, expected at least one")

// roundings is by how much two sums of the same lengths in another order may differ, as a share.
const roundings = 1e-10

// Centre finds the absolute centre within work steps; a search for shortest paths takes one for each vertex and two for
// each edge. Spent work leaves the best place found, and the bound.
//
// A place that is best with respect to a few vertices alone has a radius that no place can go below. If it serves all
// others as well, it is the centre; if not, the vertex that lies farthest from it joins the few. What is best with respect
// to a few is found edge by edge (Kariv and Hakimi 1979, SIAM J. Appl. Math. 37, 513–538), edges whose bound is too high
// left aside. On drawn networks some dozens of vertices are enough; a regular ring needs all.
func (g *Graph) Centre(work int64) (Centre, error) {
	switch {
	case len(g.terminal) == 0:
		return Centre{}, ErrFew
	case !g.connected():
		return Centre{}, ErrApart
	}
	s := g.search(work)
	s.begin()
	for s.goOn() {
		s.step()
	}
	s.best.Work = s.work
	return s.best, nil
}

// search is a search for the centre under way.
type search struct {
	*walker
	limit    int64
	pivots   []int32     // the few vertices
	from     [][]float64 // of each pivot, the distances of all vertices
	isPivot  []bool
	farthest []float64 // of each vertex, the distance of its farthest pivot
	open     []entry   // edges by what their places cannot go below; a heap
	counted  []int32   // of each edge, how many pivots that bound counts
	exact    []bool    // of each edge, whether the bound is reached by a place
	pairs    []pair    // memory of onEdge
	best     Centre
}

func (g *Graph) search(work int64) *search {
	n := g.Vertices()
	return &search{
		walker: g.walker(), limit: work, isPivot: make([]bool, n), farthest: make([]float64, n),
		counted: make([]int32, len(g.edges)), exact: make([]bool, len(g.edges)),
		best: Centre{Vertex: -1, Edge: -1, Radius: math.Inf(1)},
	}
}

// firstPivots is how many vertices, each the farthest of those before it, are taken before edges are looked at.
const firstPivots = 4

func (s *search) begin() {
	s.run(start{vertex: s.g.terminal[0]})
	far, radius := s.walker.farthest()
	s.offer(Centre{Vertex: int(s.g.terminal[0]), Edge: -1, Radius: radius})
	for range firstPivots {
		if s.isPivot[far] {
			break
		}
		s.pivot(far)
		far = s.remotest()
	}
	for e := range s.g.edges {
		if bound := s.quick(int32(e)); bound < s.best.Radius {
			s.open = append(s.open, entry{bound, int32(e)})
		}
	}
	heaped(s.open)
}

// remotest returns the required vertex whose nearest pivot is farthest.
func (s *search) remotest() int32 {
	out, most := s.g.terminal[0], -1.0
	for _, v := range s.g.terminal {
		least := math.Inf(1)
		for _, from := range s.from {
			least = min(least, from[v])
		}
		if least > most {
			out, most = v, least
		}
	}
	return out
}

// pivot takes a vertex among the few.
func (s *search) pivot(v int32) {
	s.run(start{vertex: v})
	_, radius := s.walker.farthest()
	s.offer(Centre{Vertex: int(v), Edge: -1, Radius: radius})
	s.pivots, s.isPivot[v] = append(s.pivots, v), true
	from := append([]float64(nil), s.dist...)
	s.from = append(s.from, from)
	for u, length := range from {
		s.farthest[u] = max(s.farthest[u], length)
	}
	// Wherever the centre lies, one of the two ends of a way is at least half of it away.
	s.best.AtLeast = max(s.best.AtLeast, radius/2)
}

// offer takes a place if it is better than the best so far.
func (s *search) offer(c Centre) {
	if c.Radius < s.best.Radius {
		c.AtLeast, c.Proven = s.best.AtLeast, s.best.Proven
		s.best = c
	}
}

// mostMemory is how many distances from pivots are kept: 256 MB.
const mostMemory = 1 << 25

// goOn tells whether there is something left to do, and sets how far the result is proven.
func (s *search) goOn() bool {
	enough := s.best.Radius * (1 - roundings)
	if s.best.AtLeast >= enough || len(s.open) == 0 || s.open[0].key >= enough {
		s.best.AtLeast, s.best.Proven = s.best.Radius, true
		return false
	}
	s.best.AtLeast = max(s.best.AtLeast, s.open[0].key)
	return s.work+2*s.g.stepsOfRun() <= s.limit && (len(s.pivots)+1)*s.g.Vertices() <= mostMemory
}

// step looks at the edge with the lowest bound: sharpens the bound, or, where it is as sharp as the pivots allow, tries
// the place.
func (s *search) step() {
	top := s.open[0]
	e := top.item
	if int(s.counted[e]) < len(s.pivots) {
		s.exact[e] = false
		top.key = max(top.key, s.quick(e))
		s.settle(top)
		return
	}
	along, radius := s.onEdge(e)
	if !s.exact[e] {
		s.exact[e] = true
		top.key = max(top.key, radius)
		s.settle(top)
		return
	}
	place := s.g.place(e, along)
	s.run(s.g.startsAt(place)...)
	far, radius := s.walker.farthest()
	place.Radius = radius
	s.offer(place)
	if s.isPivot[far] {
		// Every vertex is served as the pivots are: the bound is reached, but for rounding.
		s.best.AtLeast = max(s.best.AtLeast, radius*(1-roundings))
		top.key = max(top.key, radius)
		s.settle(top)
		return
	}
	s.pivot(far)
}

// settle puts the edge at the top of the heap where its new bound belongs, or leaves it aside.
func (s *search) settle(top entry) {
	if top.key >= s.best.Radius {
		s.open = popped(s.open)
		return
	}
	sink(s.open, 0, top)
}

// quick returns what no place on an edge can go below, from single pivots and from the farthest of each end (Halpern 1979).
func (s *search) quick(e int32) float64 {
	a, b := s.g.edges[e].A, s.g.edges[e].B
	bound := (s.farthest[a] + s.farthest[b] - s.g.edges[e].Length) / 2
	for i := int(s.counted[e]); i < len(s.from); i++ {
		bound = max(bound, min(s.from[i][a], s.from[i][b]))
	}
	s.counted[e] = int32(len(s.from))
	return bound
}

// place makes a place on an edge; an end of the edge is a vertex.
func (g *Graph) place(e int32, along float64) Centre {
	edge := g.edges[e]
	switch {
	case along <= 0:
		return Centre{Vertex: edge.A, Edge: -1}
	case along >= edge.Length:
		return Centre{Vertex: edge.B, Edge: -1}
	}
	return Centre{Vertex: -1, Edge: int(e), Along: along}
}

// startsAt returns from where shortest paths from a place begin.
func (g *Graph) startsAt(c Centre) []start {
	if c.Edge < 0 {
		return []start{{vertex: int32(c.Vertex)}}
	}
	edge := g.edges[c.Edge]
	return []start{{int32(edge.A), c.Along}, {int32(edge.B), edge.Length - c.Along}}
}
