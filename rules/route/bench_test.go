package route_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

// around is volumes scattered over 8 by 4 by 2 m, joined within the reach that gives m joins.
func around(tb testing.TB, n, m int) route.Task {
	tb.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	task := route.Task{MPE: limit(tb, "20 µm + 15 µm/m")}
	for i := range n {
		task.Volumes = append(task.Volumes, route.Volume{Name: fmt.Sprint(i), At: space.Point{8000 * rng.Float64(), 4000 * rng.Float64(), 2000 * rng.Float64()}})
	}
	least, most := 0.0, 10000.0
	for most-least > 1e-6 {
		reach := (least + most) / 2
		joins, err := route.Reached(task.Volumes, reach, nil)
		if err == nil && len(joins) < m {
			least = reach
			continue
		}
		if most = reach; err == nil {
			task.Joins = joins
		}
	}
	if len(task.Joins) != m {
		tb.Fatalf("%d joins", len(task.Joins))
	}
	return task
}

func BenchmarkRoute10000x100000(b *testing.B) {
	task := around(b, 10000, 100000)
	for b.Loop() {
		p, err := route.Find(task, 0)
		if err != nil || !p.Proof.Optimal {
			b.Fatalf("%v %+v", err, p)
		}
	}
}

// ringOf has no centre that stands out, which makes the proof as long as it can be.
func ringOf(tb testing.TB, n int) route.Task {
	tb.Helper()
	task := route.Task{MPE: limit(tb, "20 µm + 15 µm/m")}
	for i := range n {
		task.Volumes = append(task.Volumes, route.Volume{Name: fmt.Sprint(i)})
		task.Joins = append(task.Joins, route.Join{From: fmt.Sprint(i), To: fmt.Sprint((i + 1) % n), LengthMM: 400})
	}
	return task
}

func BenchmarkRoute200(b *testing.B) {
	for name, task := range map[string]route.Task{"scattered": around(b, 200, 2000), "all-joined": around(b, 200, 19900), "ring": ringOf(b, 200)} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				p, err := route.Find(task, 0)
				if err != nil || !p.Proof.Optimal {
					b.Fatalf("%v %+v", err, p)
				}
			}
		})
	}
}

func BenchmarkChain10000(b *testing.B) {
	task := around(b, 10000, 100000)
	p, err := route.Find(task, 0)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := p.Chain(p.NearestOrder("")); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAdvise(b *testing.B) {
	for _, n := range []int{7, 60, 1000} {
		task := around(b, n, min(n*(n-1)/4, 10*n))
		p, err := route.Find(task, 0)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var a route.Advice
			for b.Loop() {
				if a, err = p.Advise(0); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(a.Tried), "tried")
			b.ReportMetric(float64(a.Candidates), "candidates")
		})
	}
}
