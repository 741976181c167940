package rules

import (
	"math"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/figure"
)

// Certified is one figure that a certificate states.
type Certified struct {
	Certificate *records.Certificate
	Figure      quantity.Length
	StandardUM  float64 // uncertainty; NaN where none is stated
	Source      Source
}

// Step is the change of a figure from one certificate to the next, while
// nothing was done to the object in between.
type Step struct {
	From, To   Certified
	Days       int
	ChangeUM   float64       // later less earlier
	ExpandedUM figure.Figure // of the change, k = 2
	// Ratio is |ChangeUM|/ExpandedUM: above 1 the change is more than the
	// uncertainties explain. It is the number E_n of ISO 13528:2022, 9.7 (form
	// from memory), with two certificates in place of two laboratories, and
	// supposes that their errors are independent; where they have errors in
	// common, as those of one laboratory have, the true ratio is larger.
	Ratio figure.Figure
}

// Break says why no step is drawn to a certificate.
type Break struct {
	To  *records.Certificate
	Why string
}

func stepOf(from, to Certified) Step {
	const k = 2
	s := Step{From: from, To: to, Days: from.Certificate.Date.DaysUntil(to.Certificate.Date)}
	// Lengths of one nominal size are near each other, so the difference is exact but for the rounding of the two.
	s.ChangeUM = to.Figure.Micrometres() - from.Figure.Micrometres()
	expanded := k * math.Hypot(from.StandardUM, to.StandardUM)
	if !(expanded > 0) {
		s.ExpandedUM = figure.Absent("a certificate states no uncertainty of it")
		s.Ratio = s.ExpandedUM
		return s
	}
	s.ExpandedUM, s.Ratio = figure.Known(expanded), figure.Known(math.Abs(s.ChangeUM)/expanded)
	return s
}
