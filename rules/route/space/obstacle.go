package space

import (
	"fmt"
	"math"
)

// Shape is a solid without dents that stands in the way: a [Box], [Ball] or [Cylinder]. Its surface is not part of it, so
// that a line may touch it.
type Shape interface {
	// Blocks tells whether the straight line between two places passes through the solid.
	Blocks(from, to Point) bool
	// Holds tells whether a place lies inside the solid.
	Holds(Point) bool
	// Bounds returns the least and the greatest value along each axis.
	Bounds() (least, most Point)
	// Check returns what makes the figures no solid: what is there, what was expected.
	Check() error
}

// Box has its edges along the axes.
type Box struct{ Least, Most Point }

// Ball is a sphere with what is inside it.
type Ball struct {
	Centre Point
	Radius float64 // mm
}

// Cylinder stands between the middles of its two flat ends.
type Cylinder struct {
	From, To Point
	Radius   float64 // mm
}

// thin is the share of a line that may lie inside a solid by rounding alone.
const thin = 1e-9

// span is the part of a line that is inside something; places on the line are counted from 0, its beginning, to 1.
type span struct{ from, to float64 }

func (s span) blocks() bool { return s.to-s.from > thin }

func (s span) with(other span) span { return span{max(s.from, other.from), min(s.to, other.to)} }

// between returns where start + t·step lies between two values.
func between(start, step, least, most float64) span {
	if step == 0 {
		if start > least && start < most {
			return span{0, 1}
		}
		return span{1, 0}
	}
	a, b := (least-start)/step, (most-start)/step
	return span{max(0, min(a, b)), min(1, max(a, b))}
}

// below returns where a·t² + 2·b·t + c is below 0, for a of 0 or more.
func below(a, b, c float64) span {
	if a == 0 {
		if c < 0 {
			return span{0, 1}
		}
		return span{1, 0}
	}
	root := float64(b*b) - float64(a*c)
	if !(root > 0) {
		return span{1, 0}
	}
	root = math.Sqrt(root)
	return span{max(0, (-b-root)/a), min(1, (-b+root)/a)}
}

// Blocks tells whether a line passes through the box.
func (b Box) Blocks(from, to Point) bool {
	s, d := span{0, 1}, from.To(to)
	for i := range d {
		s = s.with(between(from[i], d[i], b.Least[i], b.Most[i]))
	}
	return s.blocks()
}

// Holds tells whether a place lies inside the box.
func (b Box) Holds(p Point) bool {
	for i := range p {
		if !(p[i] > b.Least[i] && p[i] < b.Most[i]) {
			return false
		}
	}
	return true
}

// Bounds returns the box itself.
func (b Box) Bounds() (least, most Point) { return b.Least, b.Most }

// Check refuses a box without an inside.
func (b Box) Check() error {
	if !b.Least.Good() || !b.Most.Good() {
		return errPlace
	}
	for i, axis := range []string{"x", "y", "z"} {
		if !(b.Least[i] < b.Most[i]) {
			return fmt.Errorf("a box from %s = %g to %g mm, expected the lower corner first", axis, b.Least[i], b.Most[i])
		}
	}
	return nil
}

// Blocks tells whether a line passes through the ball.
func (b Ball) Blocks(from, to Point) bool {
	d, e := from.To(to), b.Centre.To(from)
	return below(d.dot(d), d.dot(e), e.dot(e)-float64(b.Radius*b.Radius)).blocks()
}

// Holds tells whether a place lies inside the ball.
func (b Ball) Holds(p Point) bool { return Distance(p, b.Centre) < b.Radius }

// Bounds returns the box around the ball.
func (b Ball) Bounds() (least, most Point) {
	r := b.Radius
	return Point{b.Centre[0] - r, b.Centre[1] - r, b.Centre[2] - r}, Point{b.Centre[0] + r, b.Centre[1] + r, b.Centre[2] + r}
}

// Check refuses a ball without an inside.
func (b Ball) Check() error {
	if !b.Centre.Good() {
		return errPlace
	}
	return checkRadius(b.Radius)
}

// axis returns the direction of the cylinder as a vector of length 1, and the distance of its ends.
func (c Cylinder) axis() (Point, float64) {
	d, h := c.From.To(c.To), Distance(c.From, c.To)
	return Point{d[0] / h, d[1] / h, d[2] / h}, h
}

// Blocks tells whether a line passes through the cylinder.
func (c Cylinder) Blocks(from, to Point) bool {
	w, h := c.axis()
	d, e := from.To(to), c.From.To(from)
	dw, ew := d.dot(w), e.dot(w)
	s := between(ew, dw, 0, h)
	// What is left of both when the part along the axis is taken off.
	for i := range d {
		d[i] -= float64(dw * w[i])
		e[i] -= float64(ew * w[i])
	}
	return s.with(below(d.dot(d), d.dot(e), e.dot(e)-float64(c.Radius*c.Radius))).blocks()
}

// Holds tells whether a place lies inside the cylinder.
func (c Cylinder) Holds(p Point) bool {
	w, h := c.axis()
	e := c.From.To(p)
	along := e.dot(w)
	return along > 0 && along < h && e.dot(e)-float64(along*along) < float64(c.Radius*c.Radius)
}

// Bounds returns a box around the cylinder: for one along an axis the smallest.
func (c Cylinder) Bounds() (least, most Point) {
	w, _ := c.axis()
	for i := range w {
		r := c.Radius * math.Sqrt(max(0, 1-float64(w[i]*w[i])))
		least[i], most[i] = min(c.From[i], c.To[i])-r, max(c.From[i], c.To[i])+r
	}
	return least, most
}

// Check refuses a cylinder without an inside.
func (c Cylinder) Check() error {
	switch {
	case !c.From.Good() || !c.To.Good():
		return errPlace
	case !(Distance(c.From, c.To) > 0):
		return fmt.Errorf("a cylinder whose two ends are one place, expected the middles of both ends")
	}
	return checkRadius(c.Radius)
}

func checkRadius(r float64) error {
	if !(r > 0 && r <= Largest) {
		return fmt.Errorf("a radius of %g mm, expected one above 0 and up to 1e9", r)
	}
	return nil
}
