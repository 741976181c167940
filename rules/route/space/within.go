package space

import (
	"cmp"
	"slices"
)

// Line joins two places of a list by a straight line.
type Line struct {
	A, B   int     // A < B
	Length float64 // mm
}

// mostJoins bounds memory: a reach that joins everything with everything is a slip of the pen.
const mostJoins = 4 << 20

// Within returns the lines between places that are no longer than reach, in millimetres, and not blocked, in the order of
// A, then B.
func Within(places []Point, reach float64, obstacles []Shape) ([]Line, error) {
	if !(reach > 0 && reach <= Largest) {
		return nil, ErrReach
	}
	along := make([]int, len(places))
	for i := range along {
		along[i] = i
	}
	slices.SortFunc(along, func(i, j int) int {
		return cmp.Or(cmp.Compare(places[i][0], places[j][0]), cmp.Compare(i, j))
	})
	var out []Line
	for k, i := range along {
		for _, j := range along[k+1:] {
			if places[j][0]-places[i][0] > reach {
				break
			}
			line := Line{A: min(i, j), B: max(i, j)}
			from, to := places[line.A], places[line.B] // in this order, so that rounding is that of the list
			if line.Length = Distance(from, to); line.Length > reach || Blocked(from, to, obstacles) >= 0 {
				continue
			}
			if len(out) == mostJoins {
				return nil, ErrManyJoins
			}
			out = append(out, line)
		}
	}
	slices.SortFunc(out, func(x, y Line) int { return cmp.Or(cmp.Compare(x.A, y.A), cmp.Compare(x.B, y.B)) })
	return out, nil
}

// Blocked returns the index of the first obstacle that the straight line between two places passes through; -1 if there is
// none.
func Blocked(from, to Point, obstacles []Shape) int {
	return slices.IndexFunc(obstacles, func(o Shape) bool { return o.Blocks(from, to) })
}
