package route_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"plumbrule/rules/route"
)

// enumerated returns the least worst bound or share over all trees there are, found by trying every set of joins and frames.
func enumerated(t route.Task) float64 {
	type edge struct {
		a, b         int
		length, plus float64
	}
	index, n := map[string]int{}, len(t.Volumes)
	for i, v := range t.Volumes {
		index[v.Name] = i
	}
	var edges []edge
	for _, j := range t.Joins {
		edges = append(edges, edge{index[j.From], index[j.To], j.LengthMM, 0})
	}
	for _, f := range t.Frames {
		if len(f.Volumes) == 2 {
			edges = append(edges, edge{index[f.Volumes[0]], index[f.Volumes[1]], 0, f.BoundUM})
			continue
		}
		for _, name := range f.Volumes {
			edges = append(edges, edge{index[name], n, 0, f.BoundUM / 2})
		}
		n++
	}
	boundOf := func(length, plus float64) float64 {
		um := t.MPE.Constant().Micrometres() + t.MPE.SlopePerMetre()*length/1000 + plus
		if b, capped := t.MPE.Bound(); capped {
			um = min(um, b.Micrometres())
		}
		return um
	}
	least := math.Inf(1)
	var chosen []edge
	judge := func() {
		// Lengths from each vertex over the chosen edges.
		from := make([][]([2]float64), n)
		for v := range from {
			from[v] = make([][2]float64, n)
			seen := make([]bool, n)
			seen[v] = true
			for range n {
				for _, e := range chosen {
					for _, ends := range [][2]int{{e.a, e.b}, {e.b, e.a}} {
						if seen[ends[0]] && !seen[ends[1]] {
							seen[ends[1]] = true
							from[v][ends[1]] = [2]float64{from[v][ends[0]][0] + e.length, from[v][ends[0]][1] + e.plus}
						}
					}
				}
			}
		}
		most := 0.0
		if len(t.Pairs) == 0 {
			for i, v := range t.Volumes {
				for j, w := range t.Volumes[:i] {
					if !v.Bridge && !w.Bridge {
						most = max(most, boundOf(from[i][j][0], from[i][j][1]))
					}
				}
			}
		}
		for _, p := range t.Pairs {
			// All volumes lie at one place, so that a feature is as far from the middle as from there.
			in, aside := p.From, 0.0
			for _, f := range t.Features {
				if f.Name == p.From {
					in, aside = f.In, f.At[0]
				}
			}
			d := from[index[in]][index[p.To]]
			cost := boundOf(d[0]+aside, d[1])
			if p.ToleranceUM > 0 {
				cost /= p.ToleranceUM
			}
			most = max(most, cost)
		}
		least = min(least, most)
	}
	var next func(at int, group []int)
	next = func(at int, group []int) {
		if len(chosen) == n-1 {
			judge()
			return
		}
		for i := at; i < len(edges); i++ {
			a, b := group[edges[i].a], group[edges[i].b]
			if a == b {
				continue
			}
			merged := slices.Clone(group)
			for v := range merged {
				if merged[v] == b {
					merged[v] = a
				}
			}
			chosen = append(chosen, edges[i])
			next(i+1, merged)
			chosen = chosen[:len(chosen)-1]
		}
	}
	group := make([]int, n)
	for v := range group {
		group[v] = v
	}
	next(0, group)
	return least
}

// No tree there is has a worst bound or share below the plan's: for all pairs, named pairs, tolerances, bridges, frames and
// limits of every form.
func TestAgainstEveryTree(t *testing.T) {
	for _, c := range []struct {
		name          string
		most          int
		pairs, frames bool
	}{{"all pairs", 7, false, false}, {"named pairs", 7, true, false}, {"frames", 5, false, true}, {"named pairs and frames", 5, true, true}} {
		t.Run(c.name, func(t *testing.T) {
			rapid.Check(t, func(r *rapid.T) {
				task := drawnTask(r, c.most, c.pairs, c.frames)
				p, err := route.Find(task, 0)
				if err != nil {
					r.Fatal(err)
				}
				got, least := p.Worst.BoundUM, p.Proof.LeastBoundUM
				if p.Worst.Share.Value != nil {
					got, least = *p.Worst.Share.Value, p.Proof.LeastShare
				}
				if want := enumerated(task); math.Abs(got-want) > 1e-9*want || !p.Proof.Optimal || least != got {
					r.Fatalf("worst %v, at least %v, proven %v; the best of all trees has %v", got, least, p.Proof.Optimal, want)
				}
			})
		})
	}
}

// The order in which a task is written does not matter.
func TestOrderOfTheTask(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		task := drawnTask(r, 9, rapid.Bool().Draw(r, "pairs"), true)
		first, err := route.Find(task, 0)
		if err != nil {
			r.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "seed"), 1))
		rng.Shuffle(len(task.Volumes), func(i, j int) { task.Volumes[i], task.Volumes[j] = task.Volumes[j], task.Volumes[i] })
		rng.Shuffle(len(task.Joins), func(i, j int) { task.Joins[i], task.Joins[j] = task.Joins[j], task.Joins[i] })
		rng.Shuffle(len(task.Frames), func(i, j int) { task.Frames[i], task.Frames[j] = task.Frames[j], task.Frames[i] })
		for i, j := range task.Joins {
			if rng.IntN(2) == 0 {
				task.Joins[i].From, task.Joins[i].To = j.To, j.From
			}
		}
		second, err := route.Find(task, 0)
		if err != nil {
			r.Fatal(err)
		}
		if diff := cmp.Diff(first, second, cmpopts.IgnoreUnexported(route.Plan{})); diff != "" {
			r.Fatal(diff)
		}
	})
}

// Whatever the task: the links are a tree over all volumes that are no bridges, each volume is scanned after the one it is
// joined to, the ways are those of the tree, and none is worse than the worst.
func TestPlanHoldsTogether(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		task := drawnTask(r, 40, rapid.Bool().Draw(r, "pairs"), rapid.Bool().Draw(r, "frames"))
		p, err := route.Find(task, 0)
		if err != nil {
			r.Fatal(err)
		}
		seen := map[string]bool{}
		for i, s := range p.Order {
			if seen[s.Volume] {
				r.Fatalf("%s is scanned twice", s.Volume)
			}
			if i > 0 && !seen[s.From] && s.Frame == "" {
				r.Fatalf("%s is joined to %s, which is not scanned", s.Volume, s.From)
			}
			seen[s.Volume] = true
		}
		ends := map[string]bool{}
		for _, l := range p.Links {
			ends[l.From], ends[l.To] = true, true
		}
		if len(p.Links) != len(ends)-1 {
			r.Fatalf("%d links between %d ends", len(p.Links), len(ends))
		}
		for i, v := range task.Volumes {
			if !v.Bridge && !seen[v.Name] {
				r.Fatalf("%s is not scanned", v.Name)
			}
			for _, w := range task.Volumes[:i] {
				if v.Bridge || w.Bridge || len(task.Pairs) > 0 {
					continue
				}
				way, err := p.Between(v.Name, w.Name)
				if err != nil {
					r.Fatal(err)
				}
				if way.BoundUM > p.Worst.BoundUM+1e-9 {
					r.Fatalf("%s to %s has %v, more than the worst %v", v.Name, w.Name, way.BoundUM, p.Worst.BoundUM)
				}
			}
		}
	})
}
