package graph

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// serverFor begins a search with a tree that nobody chose.
func serverFor(r *rapid.T, g *Graph, demands []Demand, cost Cost) *server {
	s := &server{g: g.whole(), demands: demands, cost: cost, limit: plenty, atLeast: math.Inf(-1)}
	s.walker, s.best.Cost = s.g.walker(), math.Inf(1)
	var edges []int
	group := make([]int, g.Vertices())
	for v := range group {
		group[v] = v
	}
	all := make([]int, len(g.edges))
	for e := range all {
		all[e] = e
	}
	for _, e := range rapid.Permutation(all).Draw(r, "order") {
		from, to := group[g.edges[e].A], group[g.edges[e].B]
		if from == to {
			continue
		}
		edges = append(edges, e)
		for v := range group {
			if group[v] == from {
				group[v] = to
			}
		}
	}
	s.try(s.g.Tree(int(g.terminal[0]), edges))
	return s
}

// Branch and bound alone, from a poor tree, finds the best of all trees; the bound alone is above none; and exchanges alone
// have the costs that they were chosen for and never make a tree worse.
func TestPartsOfServe(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 7, true)
		demands, cost := wishes(r, g)
		if len(demands) == 0 {
			return
		}
		least := leastCost(g, demands, cost)

		s := serverFor(r, g, demands, cost)
		s.bound()
		if s.atLeast > least {
			r.Fatalf("bound %v, but a tree costs %v", s.atLeast, least)
		}

		s = serverFor(r, g, demands, cost)
		s.exact()
		if s.best.Cost != least || !s.done() {
			r.Fatalf("branch and bound found %v, the best of all trees costs %v", s.best.Cost, least)
		}

		s = serverFor(r, g, demands, cost)
		for before := s.best.Cost; s.exchange(plenty); before = s.best.Cost {
			if s.best.Cost > before {
				r.Fatalf("an exchange made %v of %v", s.best.Cost, before)
			}
		}
		s.exchanges(r)
	})
}

// By hand: two demands that share a vertex need no more than their own edges, though the third pair would.
func TestBoundOfDemandsThatAreNotAllPairs(t *testing.T) {
	g := must(t, 3, []Edge{{0, 1, 1}, {1, 2, 1}})
	s := &server{g: g, walker: g.walker(), demands: []Demand{{0, 1}, {1, 2}}, cost: func(_ int, length float64) float64 { return length }, limit: plenty}
	if s.bound(); s.atLeast != 1 {
		t.Errorf("at least %v, want 1", s.atLeast)
	}
	s.demands = append(s.demands, Demand{2, 0})
	if s.bound(); s.atLeast != 2 {
		t.Errorf("at least %v, want 2", s.atLeast)
	}
}

// exchanges compares the costs of every exchange with those of the tree after it.
func (s *server) exchanges(r *rapid.T) {
	t := s.best.Tree
	for _, v := range t.order[1:] {
		inside := t.under(int(v))
		for e, edge := range s.g.edges {
			if inside[edge.A] == inside[edge.B] || !t.Has(edge.A) || !t.Has(edge.B) || int(t.via[v]) == e {
				continue
			}
			worst, sum := s.exchanged(t, s.crossing(inside), inside, edge, math.Inf(1))
			after := s.g.Tree(t.Root, slices.DeleteFunc(append([]int{e}, t.Edges...), func(x int) bool { return x == int(t.via[v]) }))
			if _, most, all := s.judge(after); most != worst || math.Abs(all-sum) > 1e-9*all {
				r.Fatalf("an exchange costs %v, %v in all, expected were %v, %v", most, all, worst, sum)
			}
		}
	}
}

func TestHeapIsInOrder(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		keys := rapid.SliceOfN(rapid.IntRange(0, 30), 0, 60).Draw(r, "keys")
		var pushedOne, heapedAll []entry
		for i, key := range keys {
			e := entry{float64(key), int32(i)}
			pushedOne, heapedAll = pushed(pushedOne, e), append(heapedAll, e)
		}
		heaped(heapedAll)
		for _, heap := range [][]entry{pushedOne, heapedAll} {
			var last entry
			for n := 0; len(heap) > 0; n++ {
				top := heap[0]
				if heap = popped(heap); n > 0 && !last.before(top) {
					r.Fatalf("%v after %v", top, last)
				}
				last = top
			}
		}
	})
}

// By hand: from a place on a long edge whose ends are nearer to each other another way, the tree leaves the edge out.
func TestShortestTreeFromAnEdgeThatIsADetour(t *testing.T) {
	g := must(t, 3, []Edge{{0, 1, 10}, {0, 2, 1}, {2, 1, 1}})
	for along, root := range map[float64]int{1: 0, 9: 1} {
		tree := g.ShortestTree(Centre{Vertex: -1, Edge: 0, Along: along})
		if tree.Root != root || !slices.Equal(tree.Edges, []int{1, 2}) {
			t.Errorf("along %v: root %d, edges %v", along, tree.Root, tree.Edges)
		}
	}
	// From the middle both ends are reached over the edge itself; the third vertex hangs on the first.
	tree := must(t, 3, []Edge{{0, 1, 10}, {0, 2, 1}, {2, 1, 20}}).ShortestTree(Centre{Vertex: -1, Edge: 0, Along: 6})
	if tree.Root != 1 || !slices.Equal(tree.Edges, []int{0, 1}) || tree.depth[2] != 11 {
		t.Errorf("root %d, edges %v, depth %v", tree.Root, tree.Edges, tree.depth[2])
	}
}

// By hand: the ends of branches that are not required are cut off, and a root among them hands over.
func TestTreeCutsWhatIsNotRequired(t *testing.T) {
	g, err := New([]bool{false, true, true, false, true, false}, []Edge{{0, 1, 1}, {1, 2, 1}, {2, 3, 1}, {2, 4, 1}, {0, 5, 1}})
	if err != nil {
		t.Fatal(err)
	}
	tree := g.Tree(5, []int{0, 1, 2, 3, 4})
	if tree.Root != 1 || !slices.Equal(tree.Edges, []int{1, 3}) || tree.Has(0) || tree.Has(3) || !tree.Has(4) {
		t.Errorf("root %d, edges %v", tree.Root, tree.Edges)
	}
}

// By hand: 10 + 4 + 2, with the middle at 8 on the first edge, however the edges are written; and on a vertex.
func TestMiddle(t *testing.T) {
	for _, c := range []struct {
		edges []Edge
		want  Centre
	}{
		{[]Edge{{0, 1, 10}, {1, 2, 4}, {2, 3, 2}}, Centre{Vertex: -1, Edge: 0, Along: 8, Radius: 8}},
		{[]Edge{{1, 0, 10}, {2, 1, 4}, {3, 2, 2}}, Centre{Vertex: -1, Edge: 0, Along: 2, Radius: 8}},
		{[]Edge{{0, 1, 6}, {1, 2, 4}, {2, 3, 2}}, Centre{Vertex: 1, Edge: -1, Radius: 6}},
		{[]Edge{{0, 1, 0}, {1, 2, 0}, {2, 3, 0}}, Centre{Vertex: 0, Edge: -1}},
	} {
		if got := must(t, 4, c.edges).Tree(2, []int{0, 1, 2}).Middle(); got != c.want {
			t.Errorf("got %+v, want %+v", got, c.want)
		}
	}
}

// A leg is the shortest of parallel edges, or the shortest way; a tour goes to the nearest that is left, each once.
func TestLegsAndTours(t *testing.T) {
	g := must(t, 4, []Edge{{0, 1, 9}, {1, 0, 7}, {0, 1, 8}, {0, 2, 1}, {2, 1, 1}})
	if leg, ok := g.Leg(0, 1); !ok || leg.Length != 7 || !slices.Equal(leg.Way, []int{0, 1}) {
		t.Errorf("%+v", leg)
	}
	if _, ok := g.Leg(0, 3); ok {
		t.Error("a leg to where no way leads")
	}
	rapid.Check(t, func(r *rapid.T) {
		g := drawn(r, 20, true)
		at := rapid.IntRange(0, g.Vertices()-1).Draw(r, "from")
		left := slices.Clone(g.required)
		left[at] = false
		for _, leg := range g.Tour(at, g.required) {
			d, nearest := g.shortest(at), -1
			for v := range left {
				if left[v] && (nearest < 0 || d[v] < d[nearest]) {
					nearest = v
				}
			}
			if nearest < 0 || leg.Way[0] != at || leg.Length != d[nearest] {
				r.Fatalf("%+v from %d, the nearest is %d at %v", leg, at, nearest, d[max(nearest, 0)])
			}
			at = leg.Way[len(leg.Way)-1]
			if !left[at] || d[at] != leg.Length {
				r.Fatalf("%+v leads to where the tour was", leg)
			}
			left[at] = false
		}
		if slices.Contains(left, true) {
			r.Fatalf("left over: %v", left)
		}
	})
}
