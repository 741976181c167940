package graph

import "slices"

// pair is how far a pivot lies from the two ends of an edge.
type pair struct{ a, b float64 }

// onEdge returns the place on an edge from which the farthest pivot is nearest, and how far that is.
//
// Seen from a place, a pivot is reached by one end or the other. In the best place those reached by the end B are the ones
// that lie farthest from A: with the pivots sorted by their distance from A, only as many divisions are to be tried as
// there are pivots (Kariv and Hakimi 1979).
func (s *search) onEdge(e int32) (along, radius float64) {
	edge := s.g.edges[e]
	s.pairs = s.pairs[:0]
	for _, from := range s.from {
		s.pairs = append(s.pairs, pair{from[edge.A], from[edge.B]})
	}
	slices.SortFunc(s.pairs, func(x, y pair) int {
		switch {
		case x.a > y.a:
			return -1
		case x.a < y.a:
			return 1
		}
		return 0
	})
	along, radius = 0, s.pairs[0].a
	byB := 0.0
	for i, p := range s.pairs {
		byB = max(byB, p.b)
		if i+1 == len(s.pairs) {
			if byB < radius {
				along, radius = edge.Length, byB
			}
			break
		}
		byA := s.pairs[i+1].a
		if byA == p.a {
			continue // equals go the same way
		}
		at := min(max((byB+edge.Length-byA)/2, 0), edge.Length)
		if far := max(byA+at, byB+edge.Length-at); far < radius {
			along, radius = at, far
		}
	}
	return along, radius
}
