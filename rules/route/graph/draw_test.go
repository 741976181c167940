package graph

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// must makes a graph whose vertices are all required.
func must(tb testing.TB, vertices int, edges []Edge) *Graph {
	tb.Helper()
	required := make([]bool, vertices)
	for v := range required {
		required[v] = true
	}
	g, err := New(required, edges)
	if err != nil {
		tb.Fatal(err)
	}
	return g
}

// drawn is a connected graph of up to most vertices with whole lengths, so that sums are exact; some vertices may be left to
// choice, some edges are parallel or of length 0.
func drawn(r *rapid.T, most int, optional bool) *Graph {
	n := rapid.IntRange(1, most).Draw(r, "vertices")
	required := make([]bool, n)
	for v := range required {
		required[v] = !optional || v == 0 || rapid.IntRange(0, 2).Draw(r, "required") > 0
	}
	length := rapid.SampledFrom([]float64{0, 1, 2, 3, 5, 8, 13, 40})
	var edges []Edge
	for v := 1; v < n; v++ {
		edges = append(edges, Edge{v, rapid.IntRange(0, v-1).Draw(r, "above"), length.Draw(r, "length")})
	}
	for range rapid.IntRange(0, 2*n).Draw(r, "more") {
		a, b := rapid.IntRange(0, n-1).Draw(r, "a"), rapid.IntRange(0, n-1).Draw(r, "b")
		if a != b {
			edges = append(edges, Edge{a, b, length.Draw(r, "length")})
		}
	}
	g, err := New(required, edges)
	if err != nil {
		r.Fatal(err)
	}
	return g
}

// eachTree calls f with every set of edges that is a spanning tree, found by trying all sets of the right size.
func eachTree(g *Graph, f func(edges []int)) {
	n := g.Vertices()
	chosen := make([]int, 0, n)
	var next func(from int, group []int)
	next = func(from int, group []int) {
		if len(chosen) == n-1 {
			f(chosen)
			return
		}
		for e := from; e < len(g.edges); e++ {
			a, b := group[g.edges[e].A], group[g.edges[e].B]
			if a == b {
				continue
			}
			merged := append([]int(nil), group...)
			for v := range merged {
				if merged[v] == b {
					merged[v] = a
				}
			}
			chosen = append(chosen, e)
			next(e+1, merged)
			chosen = chosen[:len(chosen)-1]
		}
	}
	group := make([]int, n)
	for v := range group {
		group[v] = v
	}
	next(0, group)
}

// apart returns the lengths between all vertices along some edges alone, by the method of Floyd and Warshall.
func apart(g *Graph, edges []int) [][]float64 {
	n := g.Vertices()
	d := make([][]float64, n)
	for i := range d {
		d[i] = make([]float64, n)
		for j := range d[i] {
			if i != j {
				d[i][j] = math.Inf(1)
			}
		}
	}
	for _, e := range edges {
		edge := g.edges[e]
		d[edge.A][edge.B] = min(d[edge.A][edge.B], edge.Length)
		d[edge.B][edge.A] = d[edge.A][edge.B]
	}
	for k := range n {
		for i := range n {
			for j := range n {
				d[i][j] = min(d[i][j], d[i][k]+d[k][j])
			}
		}
	}
	return d
}

// widest returns the greatest length between required vertices.
func widest(g *Graph, d [][]float64) float64 {
	most := 0.0
	for i := range d {
		for j := range d {
			if g.required[i] && g.required[j] {
				most = max(most, d[i][j])
			}
		}
	}
	return most
}
