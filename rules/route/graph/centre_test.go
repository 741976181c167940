package graph

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

const plenty = math.MaxInt64

// Six vertices in series, 400 apart: the middle lies between the third and the fourth, 1000 from both ends. With a hub at
// 500 from each, the hub is the centre. By hand.
func TestCentreByHand(t *testing.T) {
	series := []Edge{{0, 1, 400}, {1, 2, 400}, {2, 3, 400}, {3, 4, 400}, {4, 5, 400}}
	hub := append([]Edge(nil), series...)
	for v := range 6 {
		hub = append(hub, Edge{v, 6, 500})
	}
	for _, c := range []struct {
		name     string
		vertices int
		edges    []Edge
		want     Centre
		longest  float64
	}{
		{"one vertex", 1, nil, Centre{Vertex: 0, Edge: -1}, 0},
		{"two", 2, []Edge{{0, 1, 10}}, Centre{Vertex: -1, Edge: 0, Along: 5, Radius: 5}, 10},
		{"two, length 0", 2, []Edge{{0, 1, 0}}, Centre{Vertex: 0, Edge: -1}, 0},
		{"two, the shorter of parallel edges", 2, []Edge{{0, 1, 10}, {1, 0, 4}}, Centre{Vertex: -1, Edge: 1, Along: 2, Radius: 2}, 4},
		{"three in series", 3, []Edge{{0, 1, 10}, {1, 2, 10}}, Centre{Vertex: 1, Edge: -1, Radius: 10}, 20},
		{"uneven", 3, []Edge{{0, 1, 10}, {1, 2, 4}}, Centre{Vertex: -1, Edge: 0, Along: 7, Radius: 7}, 14},
		{"series", 6, series, Centre{Vertex: -1, Edge: 2, Along: 200, Radius: 1000}, 2000},
		{"hub", 7, hub, Centre{Vertex: 6, Edge: -1, Radius: 500}, 1000},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := must(t, c.vertices, c.edges)
			got, err := g.Centre(plenty)
			if err != nil {
				t.Fatal(err)
			}
			if !got.Proven || got.AtLeast != got.Radius {
				t.Errorf("not proven: %+v", got)
			}
			c.want.Proven, c.want.AtLeast, c.want.Work = got.Proven, got.AtLeast, got.Work
			if got != c.want {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
			tree := g.ShortestTree(got)
			if _, _, longest := tree.Longest(); longest != c.longest {
				t.Errorf("longest path %v, want %v", longest, c.longest)
			}
		})
	}
}

func TestCentreRefuses(t *testing.T) {
	if _, err := must(t, 3, []Edge{{0, 1, 1}}).Centre(plenty); !errors.Is(err, ErrApart) {
		t.Errorf("two parts: %v", err)
	}
	if _, err := must(t, 0, nil).Centre(plenty); !errors.Is(err, ErrFew) {
		t.Errorf("no vertices: %v", err)
	}
	g, err := New([]bool{true, true, false}, []Edge{{0, 1, 1}})
	if err != nil {
		t.Fatal(err)
	}
	if c, err := g.Centre(plenty); err != nil || c.Radius != 0.5 {
		t.Errorf("a part that is not required: %+v, %v", c, err)
	}
}

// The tree of shortest paths from the absolute centre has the shortest longest path of all spanning trees, and that is
// twice the radius (Hassin and Tamir 1995): against every spanning tree there is.
func TestCentreAgainstEveryTree(t *testing.T) {
	for _, optional := range []bool{false, true} {
		rapid.Check(t, func(r *rapid.T) {
			g := drawn(r, 7, optional)
			least := math.Inf(1)
			eachTree(g, func(edges []int) { least = min(least, widest(g, apart(g, edges))) })
			c, err := g.Centre(plenty)
			if err != nil {
				r.Fatal(err)
			}
			tree := g.ShortestTree(c)
			_, _, longest := tree.Longest()
			if !c.Proven || longest != least || 2*c.Radius != least {
				r.Fatalf("radius %v, longest path %v, proven %v; the best of all trees has %v", c.Radius, longest, c.Proven, least)
			}
			if within := widest(g, apart(g, tree.Edges)); within != longest {
				r.Fatalf("longest path %v, want %v", longest, within)
			}
		})
	}
}

// On larger graphs: the radius from the whole table of distances, edge by edge (Kariv and Hakimi 1979), and twice the
// radius as the longest path of the tree.
func TestCentreAgainstTheWholeTable(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 60, true)
		all := make([]int, len(g.edges))
		for e := range all {
			all[e] = e
		}
		d := apart(g, all)
		least := math.Inf(1)
		// The best place on an edge lies where the distances to two vertices by different ends are equal, or at an end: a
		// multiple of a half, since lengths are whole.
		for _, e := range append(g.edges, Edge{0, 0, 0}) {
			for along := 0.0; along <= e.Length; along += 0.5 {
				far := 0.0
				for _, v := range g.terminal {
					far = max(far, min(d[e.A][v]+along, d[e.B][v]+e.Length-along))
				}
				least = min(least, far)
			}
		}
		c, err := g.Centre(plenty)
		if err != nil {
			r.Fatal(err)
		}
		_, _, longest := g.ShortestTree(c).Longest()
		if !c.Proven || c.Radius != least || longest != 2*least {
			r.Fatalf("radius %v (proven %v), longest path %v; want %v", c.Radius, c.Proven, longest, least)
		}
	})
}

// With little work, the bound holds and the place found has the radius that is stated.
func TestCentreWithLittleWork(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 40, true)
		full, err := g.Centre(plenty)
		if err != nil {
			r.Fatal(err)
		}
		c, err := g.Centre(rapid.Int64Range(0, 4000).Draw(r, "work"))
		if err != nil {
			r.Fatal(err)
		}
		w := g.walker()
		w.run(g.startsAt(c)...)
		if _, radius := w.farthest(); radius != c.Radius {
			r.Fatalf("radius %v stated as %v", radius, c.Radius)
		}
		if c.AtLeast > full.Radius || c.Radius < full.Radius || c.Proven && c.Radius != full.Radius {
			r.Fatalf("%+v, but the radius is %v", c, full.Radius)
		}
	})
}

// A ring needs every vertex; cut short, what is known is stated and no more.
func TestCentreOfARing(t *testing.T) {
	const n = 400
	var edges []Edge
	for v := range n {
		edges = append(edges, Edge{v, (v + 1) % n, 1})
	}
	g := must(t, n, edges)
	full, err := g.Centre(plenty)
	if err != nil || !full.Proven || full.Radius != n/2-0.5 {
		t.Errorf("%+v, %v", full, err)
	}
	short, err := g.Centre(60 * g.stepsOfRun())
	if err != nil || short.Proven || short.AtLeast > full.Radius || short.AtLeast < 0.9*full.Radius {
		t.Errorf("%+v, %v", short, err)
	}
}
