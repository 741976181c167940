package route_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/route"
	"plumbrule/rules/route/space"
)

func advise(tb testing.TB, t route.Task) route.Advice {
	tb.Helper()
	a, err := find(tb, t).Advise(0)
	if err != nil {
		tb.Fatal(err)
	}
	if a.Tried != a.Candidates {
		tb.Fatalf("%d of %d tried", a.Tried, a.Candidates)
	}
	return a
}

// horseshoe is the series bent so that its ends are 100 mm apart.
func horseshoe(tb testing.TB) route.Task {
	tb.Helper()
	task := series(tb)
	for i := range task.Volumes {
		angle := 2 * math.Pi * float64(i) / 6
		task.Volumes[i].At = space.Point{400 * math.Cos(angle), 400 * math.Sin(angle)}
	}
	task.Volumes[0].At = space.Point{500, 0}
	task.Volumes[5].At = space.Point{500, -100}
	return task
}

// By hand: the series of six bent to a horseshoe whose ends are 100 mm apart. A bar of 3 µm between the ends is worth 200 mm
// of path: a ring of 5·400 + 200 mm of which a tree leaves out one join, 1800 mm or 47 µm.
func TestAdviceOfABar(t *testing.T) {
	task := horseshoe(t)
	task.ReachMM = 40 // too short for a join between the ends, or a bridge
	task.Bar = &route.Bar{BoundUM: 3, LongestMM: 150}
	a := advise(t, task)
	if len(a.Suggestions) != 1 || a.Suggestions[0].Kind != route.OneBar || a.Suggestions[0].From != "A" || a.Suggestions[0].To != "F" {
		t.Fatalf("%+v", a)
	}
	near(t, "bound", a.Suggestions[0].Worst.BoundUM, 47)
	task.ReachMM = 100
	a = advise(t, task)
	if a.Suggestions[0].Kind != route.OneJoin || a.Suggestions[0].From != "A" || a.Suggestions[0].To != "F" {
		t.Fatalf("%+v", a)
	}
	near(t, "bound", a.Suggestions[0].Worst.BoundUM, 20+15*1.7)
	// With something in between, neither can be laid, and a bridge cannot reach both.
	task.Obstacles = []space.Shape{space.Ball{Centre: space.Point{500, -50}, Radius: 10}}
	if a = advise(t, task); len(a.Suggestions) != 0 {
		t.Fatalf("%+v", a)
	}
}

// A ring around a part that blocks every spoke: a bridge over the part is found, joined to all six, and lies where nothing
// blocks.
func TestAdviceOfABridge(t *testing.T) {
	task := series(t)
	for i := range task.Volumes {
		angle := 2 * math.Pi * float64(i) / 6
		task.Volumes[i].At = space.Point{500 * math.Cos(angle), 500 * math.Sin(angle), 200}
	}
	task.Obstacles = []space.Shape{space.Cylinder{To: space.Point{0, 0, 350}, Radius: 150}}
	task.ReachMM = 600
	var err error
	if task.Joins, err = route.Reached(task.Volumes, task.ReachMM, task.Obstacles); err != nil || len(task.Joins) != 6 {
		t.Fatalf("%v, %v", task.Joins, err)
	}
	near(t, "without", find(t, task).Worst.PathMM, 2500)
	s := advise(t, task).Suggestions
	if len(s) != 1 || s[0].Kind != route.OneBridge || len(s[0].Joined) != 6 {
		t.Fatalf("%+v", s)
	}
	for _, v := range task.Volumes {
		if space.Blocked(s[0].At, v.At, task.Obstacles) >= 0 {
			t.Errorf("the line from %v to %s is blocked", s[0].At, v.Name)
		}
	}
	// The best place of all is straight above, where the lines touch the rim: 200 + 150/350·500 = 414.3 mm up, 544 mm from each.
	if most := s[0].Worst.PathMM; most < 2*543 || most > 2*560 {
		t.Errorf("worst path %v", most)
	}
}

// What is advised has what it is said to have, and no join that was a candidate is better.
func TestAdviceAgainstEveryJoin(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		task := drawnTask(r, 8, rapid.Bool().Draw(r, "pairs"), false)
		place := rapid.Float64Range(0, 1000)
		for i := range task.Volumes {
			task.Volumes[i].At = space.Point{place.Draw(r, "x"), place.Draw(r, "y")}
		}
		p, err := route.Find(task, 0)
		if err != nil {
			r.Fatal(err)
		}
		a, err := p.Advise(0)
		if err != nil {
			r.Fatal(err)
		}
		best := p.Worst
		if len(a.Suggestions) > 0 {
			best = a.Suggestions[0].Worst
		}
		longest, joined := 0.0, map[[2]string]bool{}
		for _, j := range task.Joins {
			longest = max(longest, j.LengthMM)
			joined[[2]string{j.From, j.To}], joined[[2]string{j.To, j.From}] = true, true
		}
		used := map[string]bool{}
		for _, s := range p.Order {
			used[s.Volume] = true
		}
		for i, v := range task.Volumes {
			for _, w := range task.Volumes[:i] {
				d := space.Distance(v.At, w.At)
				if d > longest || joined[[2]string{v.Name, w.Name}] || !used[v.Name] || !used[w.Name] {
					continue
				}
				with := task
				with.Joins = append(append([]route.Join(nil), task.Joins...), route.Join{From: v.Name, To: w.Name, LengthMM: d})
				q, err := route.Find(with, 0)
				if err != nil {
					r.Fatal(err)
				}
				if score(&q.Worst) < score(&best)*(1-1e-8) {
					r.Fatalf("a join %s to %s has %v, advised was %+v", v.Name, w.Name, q.Worst, a.Suggestions)
				}
			}
		}
	})
}

func score(w *route.Way) float64 {
	if w.Share.Value != nil {
		return *w.Share.Value
	}
	return w.BoundUM
}

// With little work, fewer are tried, and that is said.
func TestAdviceWithLittleWork(t *testing.T) {
	a, err := find(t, horseshoe(t)).Advise(2000)
	if err != nil || a.Tried == 0 || a.Tried >= a.Candidates {
		t.Errorf("%+v, %v", a, err)
	}
}
