package graph

import "slices"

// improve exchanges edges of the best tree one by one, as long as that helps and with up to half of what work is left. Only
// edges on the way of the worst demand are taken out: no other exchange can serve it better.
func (s *server) improve() {
	until := s.spent() + (s.limit-s.spent())/2
	for !s.done() && s.spent() < until && s.exchange(until) {
	}
}

// exchange makes the best exchange that there is, and tells whether there was one.
func (s *server) exchange(until int64) bool {
	t := s.best.Tree
	worst := s.demands[s.best.Worst]
	way, _ := t.Way(worst.A, worst.B)
	most, sum := s.best.Cost, s.sum
	out, in := -1, -1
	for i := 1; i < len(way); i++ {
		below := way[i]
		if above, _ := t.Above(way[i-1]); above == way[i] {
			below = way[i-1]
		}
		inside := t.under(below)
		crossing := s.crossing(inside)
		s.extra += int64(len(inside) + len(s.g.edges))
		for e, edge := range s.g.edges {
			if inside[edge.A] == inside[edge.B] || !t.Has(edge.A) || int(t.via[below]) == e {
				continue
			}
			if s.spent() >= until {
				break
			}
			if m, u := s.exchanged(t, crossing, inside, edge, most); m < most || m == most && u < sum {
				most, sum, out, in = m, u, int(t.via[below]), e
			}
		}
	}
	if out < 0 {
		return false
	}
	edges := slices.DeleteFunc(append([]int{in}, t.Edges...), func(e int) bool { return e == out })
	before := s.best
	s.try(s.g.Tree(t.Root, edges))
	return s.best.Tree != before.Tree
}

// under marks a vertex and those whose way to the root leads over it.
func (t *Tree) under(vertex int) []bool {
	inside := make([]bool, len(t.via))
	inside[vertex] = true
	for _, v := range t.order[1:] {
		if above, _ := t.Above(int(v)); inside[above] {
			inside[v] = true
		}
	}
	return inside
}

// crossing returns the demands between the two sides.
func (s *server) crossing(inside []bool) (out []int) {
	for d, demand := range s.demands {
		if inside[demand.A] != inside[demand.B] {
			out = append(out, d)
		}
	}
	return out
}

// exchanged returns the greatest cost and the sum of all costs with an edge between the two sides in place of the one there
// is. It stops at a cost above most.
func (s *server) exchanged(t *Tree, crossing []int, inside []bool, edge Edge, most float64) (worst, sum float64) {
	changed := make(map[int]bool, len(crossing))
	for _, d := range crossing {
		a, b := s.demands[d].A, s.demands[d].B
		if inside[a] != inside[edge.A] {
			a, b = b, a
		}
		s.extra += int64(t.level[a]+t.level[b]+t.level[edge.A]+t.level[edge.B]) + 1
		cost := s.cost(d, t.between(int32(a), int32(edge.A))+edge.Length+t.between(int32(edge.B), int32(b)))
		if cost > most {
			return cost, 0
		}
		worst, sum = max(worst, cost), sum+cost
		changed[d] = true
	}
	for d, demand := range s.demands {
		if !changed[d] {
			s.extra += int64(t.level[demand.A]+t.level[demand.B]) + 1
			cost := s.cost(d, t.between(int32(demand.A), int32(demand.B)))
			worst, sum = max(worst, cost), sum+cost
		}
	}
	return worst, sum
}
