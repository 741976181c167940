package graph

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"pgregory.net/rapid"
)

// Lengths of shortest paths as gonum's graph/path finds them.
func TestShortestAgainstGonum(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 30, false)
		other := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for v := range g.Vertices() {
			other.AddNode(simple.Node(v))
		}
		for _, e := range g.edges {
			if w, ok := other.Weight(int64(e.A), int64(e.B)); !ok || e.Length < w {
				other.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(e.A), T: simple.Node(e.B), W: e.Length})
			}
		}
		from := rapid.IntRange(0, g.Vertices()-1).Draw(r, "from")
		theirs := path.DijkstraFrom(simple.Node(from), other)
		for v, length := range g.shortest(from) {
			if want := theirs.WeightTo(int64(v)); length != want {
				r.Fatalf("%d to %d: %v, want %v", from, v, length, want)
			}
			sum, way := 0.0, g.way(from, v)
			for i := 1; i < len(way); i++ {
				w, ok := other.Weight(int64(way[i-1]), int64(way[i]))
				if !ok {
					r.Fatalf("no edge between %d and %d", way[i-1], way[i])
				}
				sum += w
			}
			if way[0] != from || way[len(way)-1] != v || sum != length {
				r.Fatalf("way %v of length %v, want %v", way, sum, length)
			}
		}
	})
}

func TestShortestWhereNoPathLeads(t *testing.T) {
	g := must(t, 3, []Edge{{0, 1, 2}})
	if d := g.shortest(0); d[1] != 2 || !math.IsInf(d[2], 1) {
		t.Errorf("%v", d)
	}
	if way := g.way(0, 2); way != nil {
		t.Errorf("way %v", way)
	}
}

func TestNewRefuses(t *testing.T) {
	for _, c := range []struct {
		edge Edge
		want string
	}{
		{Edge{0, 3, 1}, "edge 1 joins the vertices 0 and 3, expected vertices from 0 to 2"},
		{Edge{-1, 0, 1}, "edge 1 joins the vertices -1 and 0, expected vertices from 0 to 2"},
		{Edge{1, 1, 1}, "edge 1 joins the vertex 1 to itself, expected two vertices"},
		{Edge{0, 1, -1}, "edge 1 has the length -1, expected a number of 0 or more"},
		{Edge{0, 1, math.NaN()}, "edge 1 has the length NaN, expected a number of 0 or more"},
		{Edge{0, 1, math.Inf(1)}, "edge 1 has the length +Inf, expected a number of 0 or more"},
	} {
		_, err := New(make([]bool, 3), []Edge{{0, 1, 1}, c.edge})
		if err == nil || err.Error() != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}

// shortest returns the lengths of the shortest paths from a vertex to all others, infinite where none leads.
func (g *Graph) shortest(from int) []float64 {
	w := g.walker()
	w.run(start{vertex: int32(from)})
	return w.dist
}

// way returns the vertices of a shortest path, both ends included; nil where none leads.
func (g *Graph) way(from, to int) []int {
	w := g.walker()
	w.run(start{vertex: int32(to)})
	if math.IsInf(w.dist[from], 1) {
		return nil
	}
	out := []int{from}
	for v := from; v != to; out = append(out, v) {
		e := g.edges[w.via[v]]
		v = e.A + e.B - v
	}
	return out
}
