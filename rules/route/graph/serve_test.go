package graph

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// wishes are demands between required vertices with a cost for each: an offset and a weight on the length, as a limit of a
// constant and a growth over a tolerance costs.
func wishes(r *rapid.T, g *Graph) ([]Demand, Cost) {
	var demands []Demand
	var offset, weight []float64
	add := func(a, b int32) {
		demands = append(demands, Demand{int(a), int(b)})
		offset = append(offset, float64(rapid.SampledFrom([]int{0, 0, 7, 20}).Draw(r, "offset")))
		weight = append(weight, float64(rapid.SampledFrom([]int{1, 1, 1, 0, 2, 3}).Draw(r, "weight")))
	}
	if rapid.IntRange(0, 3).Draw(r, "all pairs") == 0 {
		for i, a := range g.terminal {
			for _, b := range g.terminal[:i] {
				add(a, b)
			}
		}
	} else {
		for range rapid.IntRange(1, 8).Draw(r, "demands") {
			a := rapid.SampledFrom(g.terminal).Draw(r, "a")
			b := rapid.SampledFrom(g.terminal).Draw(r, "b")
			if a != b {
				add(a, b)
			}
		}
	}
	return demands, func(d int, length float64) float64 { return offset[d] + weight[d]*length }
}

// leastCost returns what the best of all spanning trees costs its worst demand.
func leastCost(g *Graph, demands []Demand, cost Cost) float64 {
	least := math.Inf(1)
	eachTree(g, func(edges []int) {
		d, most := apart(g, edges), 0.0
		for i, demand := range demands {
			most = max(most, cost(i, d[demand.A][demand.B]))
		}
		least = min(least, most)
	})
	return least
}

// Against every spanning tree there is.
func TestServeAgainstEveryTree(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 7, true)
		demands, cost := wishes(r, g)
		if len(demands) == 0 {
			return
		}
		least := leastCost(g, demands, cost)
		s, err := g.Serve(demands, cost, plenty)
		if err != nil {
			r.Fatal(err)
		}
		d := apart(g, s.Tree.Edges)
		if !s.Proven || s.Cost != least || s.AtLeast > least {
			r.Fatalf("cost %v, at least %v, proven %v; the best of all trees costs %v", s.Cost, s.AtLeast, s.Proven, least)
		}
		if w := demands[s.Worst]; cost(s.Worst, d[w.A][w.B]) != s.Cost {
			r.Fatalf("demand %d costs %v, stated as %v", s.Worst, cost(s.Worst, d[w.A][w.B]), s.Cost)
		}
		for i, demand := range demands {
			if c := cost(i, d[demand.A][demand.B]); c > s.Cost {
				r.Fatalf("demand %d costs %v, more than %v", i, c, s.Cost)
			}
		}
		for _, v := range g.terminal {
			if !s.Tree.Has(int(v)) {
				r.Fatalf("vertex %d is not in the tree", v)
			}
		}
	})
}

// All pairs of some vertices at equal cost: as the centre says, whatever the size.
func TestServeAllPairsIsTheCentre(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 40, true)
		if len(g.terminal) < 2 {
			return
		}
		var demands []Demand
		for i, a := range g.terminal {
			for _, b := range g.terminal[:i] {
				demands = append(demands, Demand{int(a), int(b)})
			}
		}
		c, err := g.Centre(plenty)
		if err != nil {
			r.Fatal(err)
		}
		s, err := g.Serve(demands, func(_ int, length float64) float64 { return length }, plenty)
		if err != nil || !s.Proven || s.Cost != 2*c.Radius {
			r.Fatalf("%+v, %v; want %v", s, err, 2*c.Radius)
		}
	})
}

// With little work and on larger graphs, what is stated holds: the bound, the cost, and that more work is no worse.
func TestServeWithLittleWork(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 12, true)
		demands, cost := wishes(r, g)
		if len(demands) == 0 {
			return
		}
		full, err := g.Serve(demands, cost, plenty)
		if err != nil {
			r.Fatal(err)
		}
		s, err := g.Serve(demands, cost, rapid.Int64Range(0, 20000).Draw(r, "work"))
		if err != nil {
			r.Fatal(err)
		}
		if s.AtLeast > full.Cost || s.Cost < full.Cost || s.Proven && s.Cost != full.Cost || !full.Proven {
			r.Fatalf("%+v, but the least cost is %v (proven %v)", s, full.Cost, full.Proven)
		}
	})
}

func TestServeRefuses(t *testing.T) {
	g := must(t, 3, []Edge{{0, 1, 1}})
	if _, err := g.Serve(nil, nil, plenty); !errors.Is(err, ErrNoDemand) {
		t.Errorf("%v", err)
	}
	if _, err := g.Serve([]Demand{{0, 1}}, nil, plenty); !errors.Is(err, ErrApart) {
		t.Errorf("%v", err)
	}
}

// A ring of six with demands between neighbours: one of them must go all the way round. By hand.
func TestServeByHand(t *testing.T) {
	var edges []Edge
	var demands []Demand
	for v := range 6 {
		edges = append(edges, Edge{v, (v + 1) % 6, 400})
		demands = append(demands, Demand{v, (v + 1) % 6})
	}
	g := must(t, 6, edges)
	s, err := g.Serve(demands, func(_ int, length float64) float64 { return length }, plenty)
	if err != nil || !s.Proven || s.Cost != 2000 {
		t.Errorf("%+v, %v", s, err)
	}
	// Where the pair that goes round may cost little, it does.
	s, err = g.Serve(demands, func(d int, length float64) float64 {
		if d == 3 {
			return length / 10
		}
		return length
	}, plenty)
	if err != nil || !s.Proven || s.Cost != 400 || s.Tree.Edges[3] != 4 {
		t.Errorf("%+v, %v", s, err)
	}
}
