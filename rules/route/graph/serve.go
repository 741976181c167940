package graph

import (
	"errors"
	"maps"
	"math"
	"slices"
)

// Demand is a pair of vertices whose path in the tree counts.
type Demand struct{ A, B int }

// Cost says what a path of a length costs a demand, demands counted from 0. It must not fall as the length grows, and must
// be a number for every length of 0 or more; infinite is one.
type Cost func(demand int, length float64) float64

// Served is a tree with what it costs the demand that it serves worst.
type Served struct {
	Tree    *Tree
	Worst   int // the demand
	Cost    float64
	AtLeast float64 // no tree costs its worst demand less
	Proven  bool    // Cost is the least there is, but for rounding in the tenth digit
	Work    int64   // steps that were spent
}

// ErrNoDemand is returned where no path counts.
var ErrNoDemand = errors.New("no demand, expected at least one pair of vertices")

// MostExact is the number of vertices up to which every tree is considered, as far as the work lasts; see [Graph.Serve].
const MostExact = 24

// Serve finds a tree that serves the demands well: the greatest of their costs shall be small. Its vertices must be there
// and different.
//
// That problem is hard in general. Up to [MostExact] vertices all trees are searched by branch and bound, which for nine
// vertices ends well within a second; above, and where the work does not last, the result is the best of the trees of
// shortest paths from many places, improved by exchanging edges one by one. What is known in every case is a bound: no tree
// serves a demand by less than its shortest path; and where the demands are all pairs of some vertices, the longest path
// between those is no shorter than twice their radius.
func (g *Graph) Serve(demands []Demand, cost Cost, work int64) (Served, error) {
	switch {
	case len(demands) == 0:
		return Served{}, ErrNoDemand
	case !g.connected():
		return Served{}, ErrApart
	}
	s := &server{g: g.whole(), demands: demands, cost: cost, limit: work}
	s.walker = s.g.walker()
	s.best.Cost = math.Inf(1)
	s.bound()
	s.roots()
	s.improve()
	s.exact()
	s.best.Tree = g.Tree(s.best.Tree.Root, s.best.Tree.Edges)
	s.best.AtLeast = min(s.atLeast, s.best.Cost)
	s.best.Proven = s.done()
	s.best.Work = s.spent()
	return s.best, nil
}

// whole returns the same graph with every vertex required that is connected with a required one: a tree that spans them all
// takes no path away, and what is not needed is cut off in the end.
func (g *Graph) whole() *Graph {
	out := *g
	out.required, out.terminal = make([]bool, len(g.required)), nil
	of, _ := g.Parts()
	for v := range out.required {
		if len(g.terminal) > 0 && of[v] == of[g.terminal[0]] {
			out.required[v] = true
			out.terminal = append(out.terminal, int32(v))
		}
	}
	return &out
}

// server is a search for a good tree under way.
type server struct {
	*walker
	g       *Graph // every vertex required
	demands []Demand
	cost    Cost
	limit   int64
	extra   int64 // steps beside the walker's
	atLeast float64
	best    Served
	sum     float64 // of all costs in the best tree; decides between trees that cost their worst demand the same
}

func (s *server) spent() int64 { return s.work + s.extra }

// done tells whether no tree can be better.
func (s *server) done() bool {
	return s.best.Cost <= s.atLeast || s.best.Cost-s.atLeast <= math.Abs(s.best.Cost)*roundings
}

// bound finds what no tree can go below, with up to half of the work.
func (s *server) bound() {
	s.atLeast = math.Inf(-1)
	for d := range s.demands {
		s.atLeast = max(s.atLeast, s.cost(d, 0))
	}
	s.tryCentre()
	byVertex := map[int][]int{}
	for d, demand := range s.demands {
		a := min(demand.A, demand.B)
		byVertex[a] = append(byVertex[a], d)
	}
	for _, v := range slices.Sorted(maps.Keys(byVertex)) {
		if 2*(s.spent()+s.g.stepsOfRun()) > s.limit {
			return
		}
		s.run(start{vertex: int32(v)})
		for _, d := range byVertex[v] {
			s.atLeast = max(s.atLeast, s.cost(d, s.dist[s.demands[d].A+s.demands[d].B-v]))
		}
	}
}

// tryCentre tries the tree around the centre of the demands' vertices. Where the demands are all pairs of these, one of them
// has twice the radius, in every tree.
func (s *server) tryCentre() {
	ends := make([]bool, s.g.Vertices())
	pairs := map[Demand]bool{}
	count := 0
	for _, d := range s.demands {
		for _, v := range []int{d.A, d.B} {
			if !ends[v] {
				ends[v] = true
				count++
			}
		}
		pairs[Demand{min(d.A, d.B), max(d.A, d.B)}] = true
	}
	among := *s.g
	among.required, among.terminal = ends, nil
	for v, is := range ends {
		if is {
			among.terminal = append(among.terminal, int32(v))
		}
	}
	c, err := among.Centre(s.limit / 4)
	s.extra += c.Work
	if err != nil {
		return // the demands lie in one part, so there is a centre
	}
	s.try(s.g.ShortestTree(c))
	if len(pairs) < count*(count-1)/2 {
		return
	}
	least := math.Inf(1)
	for d := range s.demands {
		least = min(least, s.cost(d, 2*c.AtLeast))
	}
	s.atLeast = max(s.atLeast, least)
}

// roots tries the trees of shortest paths from single vertices, those of many demands first, with up to half of what work
// is left.
func (s *server) roots() {
	count := make([]int, s.g.Vertices())
	for _, d := range s.demands {
		count[d.A]++
		count[d.B]++
	}
	order := append([]int32(nil), s.g.terminal...)
	slices.SortStableFunc(order, func(a, b int32) int { return count[b] - count[a] })
	until := s.spent() + (s.limit-s.spent())/2
	for i, v := range order {
		if s.done() || i > 0 && s.spent()+s.g.stepsOfRun() > until {
			return
		}
		c := Centre{Vertex: int(v), Edge: -1}
		s.run(start{vertex: v})
		s.try(s.g.treeOf(s.walker, c))
	}
}

// try keeps a tree if it is better than the best so far.
func (s *server) try(t *Tree) {
	worst, most, sum := s.judge(t)
	if most < s.best.Cost || most == s.best.Cost && sum < s.sum || s.best.Tree == nil {
		s.best.Tree, s.best.Worst, s.best.Cost, s.sum = t, worst, most, sum
	}
}

// judge returns the demand that a tree costs most, that cost, and the sum of all.
func (s *server) judge(t *Tree) (worst int, most, sum float64) {
	most = math.Inf(-1)
	for d, demand := range s.demands {
		s.extra += int64(t.level[demand.A]+t.level[demand.B]) + 1
		cost := s.cost(d, t.between(int32(demand.A), int32(demand.B)))
		sum += cost
		if cost > most {
			worst, most = d, cost
		}
	}
	return worst, most, sum
}
