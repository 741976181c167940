package graph

import (
	"cmp"
	"math"
	"slices"
)

// What is decided of an edge.
const (
	undecided = iota
	taken
	left
)

// branch is a set of trees: those that have the taken edges and not those that were left.
type branch struct {
	edges   []byte
	group   []int8 // vertices that taken edges connect have the same
	atLeast float64
}

// exactSearch searches all trees by branch and bound. It knows the connected vertices only, counted from 0.
type exactSearch struct {
	*server
	n       int
	vertex  []int32 // of the graph
	edges   []exactEdge
	demands []Demand
	length  []float64 // from vertex to vertex
}

type exactEdge struct {
	of, a, b int // the edge of the graph, and its ends
	length   float64
}

// exact searches all trees with what work is left. A branch is given up when its bound is no better than the best tree: the
// cost of each demand's shortest path along taken and undecided edges, where an undecided edge inside a group would close a
// circle and does not count.
func (s *server) exact() {
	n := len(s.g.terminal)
	if s.done() || n > MostExact {
		return
	}
	x := s.exactSearch()
	first := branch{make([]byte, len(x.edges)), make([]int8, n), s.atLeast}
	for v := range first.group {
		first.group[v] = int8(v)
	}
	steps := int64(n*n*n + len(x.edges))
	open := []branch{first}
	for len(open) > 0 && s.spent()+steps <= s.limit && !s.done() {
		at := open[len(open)-1]
		s.extra += steps
		open = x.grow(open[:len(open)-1], at)
	}
	atLeast := s.best.Cost
	for _, b := range open {
		atLeast = min(atLeast, b.atLeast)
	}
	s.atLeast = max(s.atLeast, atLeast)
}

func (s *server) exactSearch() *exactSearch {
	n := len(s.g.terminal)
	x := &exactSearch{server: s, n: n, vertex: s.g.terminal, length: make([]float64, n*n)}
	index := map[int]int{}
	for i, v := range x.vertex {
		index[int(v)] = i
	}
	for e, edge := range s.g.edges {
		if a, is := index[edge.A]; is {
			x.edges = append(x.edges, exactEdge{e, a, index[edge.B], edge.Length})
		}
	}
	// Short ones first: trees are completed with them.
	slices.SortStableFunc(x.edges, func(a, b exactEdge) int { return cmp.Compare(a.length, b.length) })
	for _, d := range s.demands {
		x.demands = append(x.demands, Demand{index[d.A], index[d.B]})
	}
	return x
}

// good tells whether a cost is better than the best tree's.
func (x *exactSearch) good(cost float64) bool { return cost < x.best.Cost*(1-roundings) }

// grow puts what remains of a branch on the pile: nothing, or its two halves by one edge.
func (x *exactSearch) grow(open []branch, b branch) []branch {
	if !x.good(b.atLeast) || !x.lengths(b) {
		return open
	}
	worst, widest := -1, math.Inf(-1)
	for i, d := range x.demands {
		cost := x.cost(i, x.length[d.A*x.n+d.B])
		b.atLeast = max(b.atLeast, cost)
		if b.group[d.A] != b.group[d.B] && cost > widest {
			worst, widest = i, cost
		}
	}
	switch {
	case !x.good(b.atLeast):
		return open
	case worst < 0:
		x.complete(b)
		return open
	}
	e := x.onTheWay(b, x.demands[worst])
	without := branch{slices.Clone(b.edges), b.group, b.atLeast}
	without.edges[e] = left
	with := branch{b.edges, slices.Clone(b.group), b.atLeast}
	with.edges[e] = taken
	merge(with.group, x.edges[e])
	return append(open, without, with)
}

func merge(group []int8, e exactEdge) {
	from, to := group[e.a], group[e.b]
	for v := range group {
		if group[v] == from {
			group[v] = to
		}
	}
}

// counts tells whether an edge may be part of a path in a branch.
func (x *exactSearch) counts(b branch, e int) bool {
	return b.edges[e] == taken || b.edges[e] == undecided && b.group[x.edges[e].a] != b.group[x.edges[e].b]
}

// lengths fills the table of shortest paths in a branch, by the method of Floyd and Warshall. It returns false where the
// branch does not connect all vertices.
func (x *exactSearch) lengths(b branch) bool {
	n := x.n
	for i := range x.length {
		x.length[i] = math.Inf(1)
	}
	for v := range n {
		x.length[v*n+v] = 0
	}
	for e, edge := range x.edges {
		if x.counts(b, e) {
			at := edge.a*n + edge.b
			x.length[at] = min(x.length[at], edge.length)
			x.length[edge.b*n+edge.a] = x.length[at]
		}
	}
	for k := range n {
		second := x.length[k*n : k*n+n]
		for i := range n {
			first, row := x.length[i*n+k], x.length[i*n:i*n+n]
			for j, length := range second {
				row[j] = min(row[j], first+length)
			}
		}
	}
	return !slices.ContainsFunc(x.length[:n], func(l float64) bool { return math.IsInf(l, 1) })
}

// onTheWay returns an undecided edge on the shortest path of a demand.
func (x *exactSearch) onTheWay(b branch, d Demand) int {
	out, least := -1, math.Inf(1)
	for e, edge := range x.edges {
		if b.edges[e] != undecided || !x.counts(b, e) {
			continue
		}
		fromA, fromB := x.length[d.A*x.n:], x.length[d.B*x.n:]
		if length := edge.length + min(fromA[edge.a]+fromB[edge.b], fromA[edge.b]+fromB[edge.a]); length < least {
			out, least = e, length
		}
	}
	return out
}

// complete adds to a branch in which every demand is connected the shortest edges that connect the rest, and tries the
// tree.
func (x *exactSearch) complete(b branch) {
	var edges []int
	for e, edge := range x.edges {
		if b.edges[e] == taken {
			edges = append(edges, edge.of)
		}
	}
	group := slices.Clone(b.group)
	for e, edge := range x.edges {
		if b.edges[e] == undecided && group[edge.a] != group[edge.b] {
			edges = append(edges, edge.of)
			merge(group, edge)
		}
	}
	x.try(x.g.Tree(int(x.vertex[0]), edges))
}
