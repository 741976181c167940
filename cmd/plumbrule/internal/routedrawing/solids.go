package routedrawing

import (
	"cmp"
	"math"
	"slices"

	"plumbrule/rules/route/space"
)

// silhouette returns the outline of a solid in a view; a ball is a circle and told by its middle and radius instead.
func (v *view) silhouette(s space.Shape) (corners []point, middle point, radius float64) {
	switch s := s.(type) {
	case space.Ball:
		return nil, v.at(s.Centre), s.Radius * v.scale
	case space.Cylinder:
		return hull(v.rims(s)), point{}, 0
	}
	least, most := s.Bounds()
	a, b := v.at(least), v.at(most)
	return []point{{a.x, a.y}, {b.x, a.y}, {b.x, b.y}, {a.x, b.y}}, point{}, 0
}

// roundness is how many points stand for a circle.
const roundness = 48

// rims returns points of both rims of a cylinder.
func (v *view) rims(c space.Cylinder) (out []point) {
	h := space.Distance(c.From, c.To)
	d := c.From.To(c.To)
	w := space.Point{d[0] / h, d[1] / h, d[2] / h}
	// Two directions across: away from the axis of coordinates that the cylinder follows least.
	least := 0
	for i := range w {
		if math.Abs(w[i]) < math.Abs(w[least]) {
			least = i
		}
	}
	var e space.Point
	e[least] = 1
	u := cross(w, e)
	size := space.Distance(space.Point{}, u)
	for i := range u {
		u[i] /= size
	}
	t := cross(w, u)
	for k := range roundness {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / roundness)
		for _, end := range []space.Point{c.From, c.To} {
			for i := range end {
				end[i] += float64(c.Radius*cos*u[i]) + float64(c.Radius*sin*t[i])
			}
			out = append(out, v.at(end))
		}
	}
	return out
}

func cross(a, b space.Point) space.Point {
	return space.Point{
		float64(a[1]*b[2]) - float64(a[2]*b[1]),
		float64(a[2]*b[0]) - float64(a[0]*b[2]),
		float64(a[0]*b[1]) - float64(a[1]*b[0]),
	}
}

// hull returns the corners of the smallest outline without dents around some points (Andrew 1979, Information Processing
// Letters 9, 216–219).
func hull(points []point) []point {
	slices.SortFunc(points, func(a, b point) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	half := func(points []point) (out []point) {
		for _, p := range points {
			for len(out) > 1 {
				a, b := out[len(out)-2], out[len(out)-1]
				if float64((b.x-a.x)*(p.y-a.y))-float64((b.y-a.y)*(p.x-a.x)) > 1e-9 {
					break
				}
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return append(lower, half(points)...)
}
