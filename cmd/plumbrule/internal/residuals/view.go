package residuals

import (
	"math"
)

// view is the plane in which the spheres are shown: the two centres farthest apart lie on its horizontal, and the centre
// farthest from that line in its plane. Spheres in a row are seen from the side, their caps up.
type view struct {
	from, to  string // the two spheres farthest apart, in the scene's order; empty: no two differ
	right, up xyz
	inRow     bool      // the centres lie on a line, but for a fiftieth of its length
	x, y      []float64 // of the centres in millimetres; the first of the two farthest apart at 0, 0
	off       float64   // the farthest a centre lies before or behind the plane in millimetres
}

func newView(s *Scene) *view {
	v := &view{right: xyz{1, 0, 0}, up: xyz{0, 0, 1}}
	// Only the spheres that are drawn: of very many the pairs would be too many to compare.
	spheres := s.Spheres[:min(len(s.Spheres), mostPanels)]
	a, span := 0, 0.0
	for i := range spheres {
		for j := i + 1; j < len(spheres); j++ {
			way := minus(spheres[j].CenterMM, spheres[i].CenterMM)
			if d := math.Sqrt(dot(way, way)); d > span {
				a, span = i, d
				v.right, _ = unit(way)
				v.from, v.to = spheres[i].Name, spheres[j].Name
			}
		}
	}
	var caps xyz
	for i := range spheres {
		axis, _ := unit(spheres[i].Axis)
		caps = along(caps, 1, axis)
	}
	high := 0.0
	var off xyz
	for i := range spheres {
		way := minus(spheres[i].CenterMM, spheres[a].CenterMM)
		rest := along(way, -dot(way, v.right), v.right)
		if d := math.Sqrt(dot(rest, rest)); d > high {
			high, off = d, rest
		}
	}
	v.inRow = high <= span/50
	if v.inRow {
		v.up = upright(caps, v.right)
	} else {
		v.up, _ = unit(off)
		// Looked at from where the scanner stood, or else with the caps up.
		towards := dot(cross(v.right, v.up), caps)
		if rise := dot(v.up, caps); math.Abs(rise) > math.Abs(towards) {
			towards = rise
		}
		if towards < 0 {
			v.up = along(xyz{}, -1, v.up)
		}
	}
	towards := cross(v.right, v.up)
	for i := range spheres {
		way := minus(spheres[i].CenterMM, spheres[a].CenterMM)
		v.x = append(v.x, dot(way, v.right))
		v.y = append(v.y, dot(way, v.up))
		v.off = max(v.off, math.Abs(dot(way, towards)))
	}
	return v
}

// toward is the direction that lies to the right on every map; none where there is no second place.
func (v *view) toward() xyz {
	if v.from == "" {
		return xyz{}
	}
	return v.right
}

// upright is the direction across right that lies nearest to the caps, or else to the scan's z or y.
func upright(caps, right xyz) xyz {
	for _, try := range []xyz{caps, {0, 0, 1}, {0, 1, 0}} {
		if up, ok := across(try, right); ok {
			return up
		}
	}
	return xyz{}
}
