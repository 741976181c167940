package graph

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// scattered joins places in a box to their nearest neighbours, as volumes around a part are joined.
func scattered(tb testing.TB, n, m int) *Graph {
	tb.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	at := make([][3]float64, n)
	for i := range at {
		at[i] = [3]float64{rng.Float64() * 8000, rng.Float64() * 4000, rng.Float64() * 2000}
	}
	slices.SortFunc(at, func(a, b [3]float64) int { return int(math.Copysign(1, a[0]-b[0])) })
	var edges []Edge
	for i := 1; i < n; i++ { // a chain keeps it connected
		edges = append(edges, Edge{i - 1, i, distance(at[i-1], at[i])})
	}
	type candidate struct {
		length float64
		a, b   int
	}
	var near []candidate
	reach := 8000 * math.Cbrt(8*float64(m)/float64(n)/float64(n)/8)
	for i := range at {
		for j := i + 2; j < n && at[j][0]-at[i][0] < reach; j++ {
			if d := distance(at[i], at[j]); d < reach {
				near = append(near, candidate{d, i, j})
			}
		}
	}
	slices.SortFunc(near, func(x, y candidate) int { return int(math.Copysign(1, x.length-y.length)) })
	for _, c := range near {
		if len(edges) == m {
			break
		}
		edges = append(edges, Edge{c.a, c.b, c.length})
	}
	if len(edges) != m {
		tb.Fatalf("%d edges", len(edges))
	}
	return must(tb, n, edges)
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// anyhow joins vertices without regard to place.
func anyhow(tb testing.TB, n, m int) *Graph {
	tb.Helper()
	rng := rand.New(rand.NewPCG(3, 4))
	var edges []Edge
	for v := 1; v < n; v++ {
		edges = append(edges, Edge{v, rng.IntN(v), 100 + 900*rng.Float64()})
	}
	for len(edges) < m {
		a, b := rng.IntN(n), rng.IntN(n)
		if a != b {
			edges = append(edges, Edge{a, b, 100 + 900*rng.Float64()})
		}
	}
	return must(tb, n, edges)
}

func lattice(tb testing.TB, x, y int, torus bool) *Graph {
	tb.Helper()
	var edges []Edge
	for i := range x {
		for j := range y {
			if i+1 < x || torus {
				edges = append(edges, Edge{i*y + j, (i+1)%x*y + j, 1})
			}
			if j+1 < y || torus {
				edges = append(edges, Edge{i*y + j, i*y + (j+1)%y, 1})
			}
		}
	}
	return must(tb, x*y, edges)
}

func ring(tb testing.TB, n int) *Graph {
	tb.Helper()
	var edges []Edge
	for v := range n {
		edges = append(edges, Edge{v, (v + 1) % n, 1})
	}
	return must(tb, n, edges)
}

func BenchmarkCentre(b *testing.B) {
	for _, c := range []struct {
		name string
		g    *Graph
	}{
		{"scattered-10000x100000", scattered(b, 10000, 100000)},
		{"anyhow-10000x100000", anyhow(b, 10000, 100000)},
		{"anyhow-10000x20000", anyhow(b, 10000, 20000)},
		{"lattice-100x100", lattice(b, 100, 100, false)},
		{"torus-30x30", lattice(b, 30, 30, true)},
		{"torus-100x100", lattice(b, 100, 100, true)},
		{"ring-200", ring(b, 200)},
		{"ring-2000", ring(b, 2000)},
		{"ring-10000", ring(b, 10000)},
		{"anyhow-200x2000", anyhow(b, 200, 2000)},
		{"anyhow-200x19900", anyhow(b, 200, 19900)},
	} {
		b.Run(c.name, func(b *testing.B) {
			var last Centre
			for b.Loop() {
				var err error
				if last, err = c.g.Centre(2e9); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(last.Work)/float64(c.g.stepsOfRun()), "runs")
			b.ReportMetric(last.Radius/last.AtLeast-1, "gap")
		})
	}
}

func BenchmarkRun(b *testing.B) {
	g := scattered(b, 10000, 100000)
	w := g.walker()
	for b.Loop() {
		w.run(start{vertex: 0})
	}
}

// BenchmarkServe searches all trees of complete graphs, with costs that differ for every pair.
func BenchmarkServe(b *testing.B) {
	for _, c := range []struct {
		name              string
		vertices, demands int
	}{
		{"9-complete-36", 9, 36},
		{"9-complete-9", 9, 9},
		{"12-complete-12", 12, 12},
		{"16-complete-16", 16, 16},
		{"100-complete-100", 100, 100},
		{"1000-complete-1000", 1000, 1000},
	} {
		rng := rand.New(rand.NewPCG(5, 6))
		at := make([][3]float64, c.vertices)
		for i := range at {
			at[i] = [3]float64{rng.Float64() * 3000, rng.Float64() * 2000, rng.Float64() * 1000}
		}
		var edges []Edge
		var all []Demand
		for i := range at {
			for j := range i {
				if c.vertices < 500 || distance(at[i], at[j]) < 600 {
					edges = append(edges, Edge{i, j, distance(at[i], at[j])})
				}
				all = append(all, Demand{i, j})
			}
		}
		rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		tolerance := make([]float64, c.demands)
		for i := range tolerance {
			tolerance[i] = 50 + 100*rng.Float64()
		}
		g := must(b, c.vertices, edges)
		b.Run(c.name, func(b *testing.B) {
			var last Served
			for b.Loop() {
				var err error
				last, err = g.Serve(all[:c.demands], func(d int, length float64) float64 { return (20 + 0.015*length) / tolerance[d] }, 2e8)
				if err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(last.Cost/last.AtLeast-1, "gap")
			b.ReportMetric(float64(last.Work), "steps")
		})
	}
}
