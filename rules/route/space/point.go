package space

import "math"

// Point is a place, or a distance along each axis, in millimetres.
type Point [3]float64

// Largest is how far from the origin a place may lie along each axis, in millimetres: a thousand kilometres.
const Largest = 1e9

// Good tells whether all three are numbers of at most [Largest] in size.
func (p Point) Good() bool {
	// Written so that NaN, which compares false with everything, is not good.
	return math.Abs(p[0]) <= Largest && math.Abs(p[1]) <= Largest && math.Abs(p[2]) <= Largest
}

// To returns the distance along each axis from here to another place.
func (p Point) To(q Point) Point { return Point{q[0] - p[0], q[1] - p[1], q[2] - p[2]} }

// Towards returns the place at a share of the way to another, 0 here and 1 there.
func (p Point) Towards(q Point, share float64) Point {
	d := p.To(q)
	return Point{p[0] + float64(share*d[0]), p[1] + float64(share*d[1]), p[2] + float64(share*d[2])}
}

// Distance returns the length of the straight line between two places in millimetres.
func Distance(p, q Point) float64 {
	d := p.To(q)
	return math.Sqrt(d.dot(d))
}

func (p Point) dot(q Point) float64 {
	return float64(p[0]*q[0]) + float64(p[1]*q[1]) + float64(p[2]*q[2])
}
