package route

import (
	"fmt"
	"slices"

	"plumbrule/rules/route/space"
)

// Laid makes volumes and joins of the cells of a layout: volumes named by their number along each axis, 1-2-1, with as many
// digits as the longest has, and a join between those that share the overlap, as long as the straight line between their
// middles. A cell whose middle lies inside an obstacle makes no volume, and a line that one blocks no join.
func Laid(cells []space.Cell, size space.Point, obstacles []space.Shape) (volumes []Volume, joins []Join) {
	cells = slices.DeleteFunc(slices.Clone(cells), func(c space.Cell) bool {
		return slices.ContainsFunc(obstacles, func(o space.Shape) bool { return o.Holds(c.At) })
	})
	digits := [3]int{1, 1, 1}
	for _, c := range cells {
		for i, k := range c.Index {
			digits[i] = max(digits[i], len(fmt.Sprint(k+1)))
		}
	}
	for _, c := range cells {
		name := fmt.Sprintf("%0*d-%0*d-%0*d", digits[0], c.Index[0]+1, digits[1], c.Index[1]+1, digits[2], c.Index[2]+1)
		volumes = append(volumes, Volume{Name: name, At: c.At, SizeMM: size})
	}
	for _, l := range space.Neighbours(cells) {
		if space.Blocked(cells[l.A].At, cells[l.B].At, obstacles) < 0 {
			joins = append(joins, Join{volumes[l.A].Name, volumes[l.B].Name, l.Length})
		}
	}
	return volumes, joins
}

// Reached makes the joins between all volumes whose straight line is no longer than reachMM and not blocked. The errors are
// [space.ErrReach] and [space.ErrManyJoins].
func Reached(volumes []Volume, reachMM float64, obstacles []space.Shape) ([]Join, error) {
	places := make([]space.Point, len(volumes))
	for i := range volumes {
		places[i] = volumes[i].At
	}
	lines, err := space.Within(places, reachMM, obstacles)
	joins := make([]Join, len(lines))
	for i, l := range lines {
		joins[i] = Join{volumes[l.A].Name, volumes[l.B].Name, l.Length}
	}
	return joins, err
}
