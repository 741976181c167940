package graph

import (
	"math"
	"slices"
)

// Tree joins vertices of a graph without a circle. It is not changed once made.
type Tree struct {
	Root  int
	Edges []int // the graph's edges in the tree, in rising order

	g     *Graph
	via   []int32   // of each vertex, the edge towards the root; -1 for the root and vertices outside
	depth []float64 // length from the root
	order []int32   // the vertices, each behind the one before it on the way from the root
	level []int32   // number of edges from the root
}

// ShortestTree returns the tree of shortest paths from a place to all required vertices. Its root is the place, or that end
// of the place's edge that is nearer; where no shortest path leads by that edge, the vertex from which all do.
//
// From the absolute centre it is the tree whose longest path between required vertices is shortest, twice the radius
// (Hassin and Tamir 1995, Information Processing Letters 53, 109–111): any tree has on its longest path a place in the middle from
// which nothing in the tree lies farther than half of that path, so that the half cannot be less than the radius.
func (g *Graph) ShortestTree(c Centre) *Tree {
	w := g.walker()
	w.run(g.startsAt(c)...)
	return g.treeOf(w, c)
}

// treeOf makes the tree that a walker has found.
func (g *Graph) treeOf(w *walker, c Centre) *Tree {
	var edges []int
	for v, via := range w.via {
		if via >= 0 && !math.IsInf(w.dist[v], 1) {
			edges = append(edges, int(via))
		}
	}
	root := c.Vertex
	if c.Edge >= 0 {
		e := g.edges[c.Edge]
		fromA, fromB := w.via[e.A] < 0, w.via[e.B] < 0
		if fromA && fromB {
			edges = append(edges, c.Edge)
		}
		root = e.A
		if !fromA || fromB && e.Length-c.Along < c.Along*(1-roundings) {
			root = e.B
		}
	}
	return g.Tree(root, edges)
}

// Tree makes a tree from edges that have no circle, seen from a root. What is not connected with the root is left out, and
// so is each end of a branch that is not required; a root that is such an end hands over to its neighbour.
func (g *Graph) Tree(root int, edges []int) *Tree {
	n := g.Vertices()
	degree := make([]int32, n)
	beside := make([][]int32, n)
	for _, e := range edges {
		for _, v := range []int{g.edges[e].A, g.edges[e].B} {
			degree[v]++
			beside[v] = append(beside[v], int32(e))
		}
	}
	cutOff := make([]bool, len(g.edges))
	var ends []int
	for v := range n {
		if degree[v] == 1 && !g.required[v] {
			ends = append(ends, v)
		}
	}
	for len(ends) > 0 {
		v := ends[len(ends)-1]
		ends = ends[:len(ends)-1]
		for _, e := range beside[v] {
			if cutOff[e] {
				continue
			}
			cutOff[e] = true
			other := g.edges[e].A + g.edges[e].B - v
			if degree[other]--; degree[other] == 1 && !g.required[other] {
				ends = append(ends, other)
			}
			if v == root {
				root = other
			}
		}
	}
	t := &Tree{Root: root, g: g, via: make([]int32, n), depth: make([]float64, n), level: make([]int32, n), order: []int32{int32(root)}}
	for v := range t.via {
		t.via[v], t.depth[v] = -1, math.Inf(1)
	}
	t.depth[root] = 0
	for i := 0; i < len(t.order); i++ {
		v := t.order[i]
		slices.Sort(beside[v])
		for _, e := range beside[v] {
			other := int32(g.edges[e].A+g.edges[e].B) - v
			if cutOff[e] || !math.IsInf(t.depth[other], 1) {
				continue
			}
			t.via[other], t.depth[other], t.level[other] = e, t.depth[v]+g.edges[e].Length, t.level[v]+1
			t.order = append(t.order, other)
			t.Edges = append(t.Edges, int(e))
		}
	}
	slices.Sort(t.Edges)
	return t
}

// Has tells whether a vertex is in the tree.
func (t *Tree) Has(vertex int) bool { return !math.IsInf(t.depth[vertex], 1) }

// Above returns the neighbour of a vertex towards the root and the edge that leads there; -1 twice for the root and for
// vertices outside the tree.
func (t *Tree) Above(vertex int) (above, edge int) {
	if t.via[vertex] < 0 {
		return -1, -1
	}
	e := t.g.edges[t.via[vertex]]
	return e.A + e.B - vertex, int(t.via[vertex])
}

// Way returns the vertices of the path between two vertices in the tree, both included, and the sum of its edges, formed in
// that order.
func (t *Tree) Way(from, to int) (vertices []int, length float64) {
	up, down := []int{from}, []int{to}
	for from != to {
		if t.level[from] >= t.level[to] {
			from, _ = t.Above(from)
			up = append(up, from)
		} else {
			to, _ = t.Above(to)
			down = append(down, to)
		}
	}
	down = down[:len(down)-1] // where both meet
	slices.Reverse(down)
	vertices = append(up, down...)
	for i, v := range vertices[1:] {
		e := t.via[v]
		if above, edge := t.Above(vertices[i]); above == v {
			e = int32(edge)
		}
		length += t.g.edges[e].Length
	}
	return vertices, length
}

// between returns the length of the path between two vertices, without the memory that Way needs.
func (t *Tree) between(from, to int32) float64 {
	length := 0.0
	for from != to {
		if t.level[from] < t.level[to] {
			from, to = to, from
		}
		e := t.g.edges[t.via[from]]
		length += e.Length
		from = int32(e.A+e.B) - from
	}
	return length
}

// Longest returns the two required vertices that lie farthest from each other in the tree, and the length between them;
// one vertex twice where only one is required.
func (t *Tree) Longest() (from, to int, length float64) {
	far := func(at int) int {
		away := make([]float64, len(t.depth))
		for v := range away {
			away[v] = -1
		}
		away[at] = 0
		// Up from the place to the root first, then down from what is known.
		for v := at; v != t.Root; {
			above, e := t.Above(v)
			away[above] = away[v] + t.g.edges[e].Length
			v = above
		}
		for _, v := range t.order[1:] {
			if above, e := t.Above(int(v)); away[v] < 0 {
				away[v] = away[above] + t.g.edges[e].Length
			}
		}
		out := -1
		for _, v := range t.g.terminal {
			if out < 0 || away[v] > away[out] {
				out = int(v)
			}
		}
		return out
	}
	from = far(t.Root)
	to = far(from)
	_, length = t.Way(from, to)
	return min(from, to), max(from, to), length
}

// Middle returns the middle of the tree's longest path, from which the farthest required vertex is nearest along the tree;
// Radius is half the length of that path. All longest paths of a tree have the same middle.
func (t *Tree) Middle() Centre {
	from, to, length := t.Longest()
	out := Centre{Vertex: from, Edge: -1, Radius: length / 2}
	way, _ := t.Way(from, to)
	for i, rest := 1, length/2; rest > 0 && i < len(way); i++ {
		e := int(t.via[way[i]])
		if above, up := t.Above(way[i-1]); above == way[i] {
			e = up
		}
		edge := t.g.edges[e]
		if rest < edge.Length {
			if edge.A != way[i-1] {
				rest = edge.Length - rest
			}
			return Centre{Vertex: -1, Edge: e, Along: rest, Radius: length / 2}
		}
		rest -= edge.Length
		out.Vertex = way[i]
	}
	return out
}
