package main

import "math"

// vector is a place or a direction in space, in millimetres where it is a place. In the bar's own frame x runs from A to C,
// z up, and A's centre is the origin.
type vector [3]float64

func dot(a, b vector) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func (a vector) plus(b vector) vector { return vector{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func (a vector) times(k float64) vector { return vector{a[0] * k, a[1] * k, a[2] * k} }

func (a vector) length() float64 { return math.Sqrt(dot(a, a)) }

func (a vector) unit() vector { return a.times(1 / a.length()) }

// pose is where the scanner's first view has put its frame: a turn and a shift.
type pose struct {
	rows  [3]vector
	shift vector
}

// newPose turns about the bar's z, then tilts about x, by degrees.
func newPose(turn, tilt float64, shift vector) pose {
	sin, cos := math.Sincos(turn * math.Pi / 180)
	s, c := math.Sincos(tilt * math.Pi / 180)
	return pose{[3]vector{{cos, -sin, 0}, {c * sin, c * cos, -s}, {s * sin, s * cos, c}}, shift}
}

// turned is a direction in the scan's frame.
func (p pose) turned(v vector) vector {
	return vector{dot(p.rows[0], v), dot(p.rows[1], v), dot(p.rows[2], v)}
}

// placed is a place in the scan's frame.
func (p pose) placed(v vector) vector { return p.turned(v).plus(p.shift) }
