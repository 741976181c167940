// Package drawing draws control charts for people: Terminal for a text screen,
// SVG for a page. A Picture goes in; nothing is computed here beyond places on
// the drawing, so every figure shown is one of the chart's.
package drawing

import (
	"fmt"
	"math"
	"time"

	"plumbrule/rules/chart"
)

// Picture is what to draw: a computed chart and what a reader needs beside it.
type Picture struct {
	// Title heads the drawing.
	Title string
	// Quantity names what the values are, for example "error of indication".
	Quantity string
	// Unit is the unit of the values, of MPE and of the chart.
	Unit string
	// Chart is the computed chart.
	Chart chart.Chart
	// Points tell of each point of the chart, in the same order. Empty means
	// that nothing is known beyond the values.
	Points []Point
	// MPE is the maximum permissible error, drawn at +MPE and -MPE; nil for none.
	MPE *float64
	// Marks are adjustments and other events drawn as upright lines.
	Marks []Mark
	// Targets are what the values of each segment of a CUSUM are compared with,
	// drawn in a panel of the values; empty for none.
	Targets []float64
	// Remarks are sentences told below the drawing.
	Remarks []string
}

// Point is what is known of a charted point beyond its value. When either all
// or no points have a time; they are then drawn true to time, in its zone.
type Point struct {
	When  time.Time
	Label string
}

// Mark is an event. It stands at When, or, where When is zero or the points
// have no times, before the point with index Before (from 0; the number of
// points puts it after the last).
type Mark struct {
	When   time.Time
	Before int
	Text   string
}

// longestUnit is the number of letters of a unit that are shown; a longer one
// is no unit but a slip of the pen.
const longestUnit = 20

// dated reports whether the horizontal axis is time.
func (p Picture) dated() bool { return len(p.Points) > 0 && !p.Points[0].When.IsZero() }

// check refuses pictures that contradict themselves.
func (p Picture) check() error {
	n := len(p.Chart.Points)
	if n == 0 {
		return fmt.Errorf("a chart without points; expected at least one")
	}
	if len(p.Points) != 0 && len(p.Points) != n {
		return fmt.Errorf("%d points described for a chart of %d; expected as many, or none", len(p.Points), n)
	}
	for i, point := range p.Points {
		if point.When.IsZero() == p.dated() {
			return fmt.Errorf("point %d and the first point: one has a time and the other none; expected all or none", i+1)
		}
		if i > 0 && point.When.Before(p.Points[i-1].When) {
			return fmt.Errorf("point %d is earlier than point %d; expected points in the order of time", i+1, i)
		}
	}
	if p.MPE != nil && !(*p.MPE > 0 && !math.IsInf(*p.MPE, 0)) {
		return fmt.Errorf("a maximum permissible error of %v; expected a finite number above 0", *p.MPE)
	}
	if len(p.Targets) != 0 && len(p.Targets) != len(p.Chart.Segments) {
		return fmt.Errorf("%d targets for a chart of %d segments; expected one for each, or none", len(p.Targets), len(p.Chart.Segments))
	}
	for i, mark := range p.Marks {
		if mark.Before < 0 || mark.Before > n {
			return fmt.Errorf("mark %d before point index %d; expected 0 to %d", i+1, mark.Before, n)
		}
	}
	return nil
}

// across holds the places of points and marks on the horizontal axis, in
// seconds since the first point or in point numbers.
type across struct {
	points, marks []float64
	low, high     float64
	base          time.Time // zero when the axis counts points
}

// across places points and marks.
func (p Picture) across() across {
	a := across{points: make([]float64, len(p.Chart.Points)), marks: make([]float64, len(p.Marks))}
	if p.dated() {
		a.base = p.Points[0].When
	}
	for i := range a.points {
		a.points[i] = float64(i + 1)
		if p.dated() {
			a.points[i] = seconds(a.base, p.Points[i].When)
		}
	}
	a.low, a.high = a.points[0], a.points[len(a.points)-1]
	for i, mark := range p.Marks {
		switch {
		case p.dated() && !mark.When.IsZero():
			a.marks[i] = seconds(a.base, mark.When)
		case mark.Before == 0:
			a.marks[i] = a.points[0]
		case mark.Before == len(a.points):
			a.marks[i] = a.points[mark.Before-1]
		default:
			a.marks[i] = (a.points[mark.Before-1] + a.points[mark.Before]) / 2
		}
		a.low, a.high = min(a.low, a.marks[i]), max(a.high, a.marks[i])
	}
	return a
}

// seconds counts from base to t; a time.Duration would overflow after 292 years.
func seconds(base, t time.Time) float64 {
	return float64(t.Unix()-base.Unix()) + float64(t.Nanosecond()-base.Nanosecond())/1e9
}

// at returns the place of x between 0 and 1; everything stands in the middle
// when there is no extent.
func (a across) at(x float64) float64 {
	if a.high <= a.low {
		return 0.5
	}
	return (x - a.low) / (a.high - a.low)
}

// edges returns where a segment of points begins and ends, halfway to its
// neighbours. Numbers count from 1.
func (a across) edges(first, last int) (from, to float64) {
	from, to = a.low, a.high
	if first > 1 {
		from = (a.points[first-2] + a.points[first-1]) / 2
	}
	if last < len(a.points) {
		to = (a.points[last-1] + a.points[last]) / 2
	}
	return from, to
}
