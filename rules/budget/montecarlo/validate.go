package montecarlo

import "math"

// Verdict says whether Monte Carlo bears out an interval of the law of propagation of uncertainty.
type Verdict string

// The verdicts.
const (
	Validated    Verdict = "validated"     // both ends agree within the tolerance
	NotValidated Verdict = "not validated" // one of them does not
	Undecided    Verdict = "undecided"     // the trials are too few to tell
)

// Validation compares the interval y ± U with that of the trials.
type Validation struct {
	Tolerance float64 // δ: half a unit in the last of the digits of u_c
	Digits    int     // significant digits of u_c that δ rests on
	LowDiff   float64 // |y − U − y_low|
	HighDiff  float64 // |y + U − y_high|
	Verdict   Verdict
}

// Validate compares y ± U, of the same probability as the trials' interval, with the probabilistically symmetric one, with
// the tolerance that 1 or 2 significant digits of u_c mean. Where the ends of the trials' interval are themselves so
// uncertain (twice their standard uncertainty) that the comparison could come out either way, the verdict is Undecided.
//
// Source: JCGM 101:2008 clause 8.1.
func (r Result) Validate(value, combinedU, expandedU float64, digits int) Validation {
	v := Validation{
		Tolerance: Tolerance(combinedU, digits), Digits: digits,
		LowDiff: math.Abs(value - expandedU - r.Symmetric.Low), HighDiff: math.Abs(value + expandedU - r.Symmetric.High),
	}
	v.Verdict = Validated
	for _, end := range [...]struct{ diff, u float64 }{{v.LowDiff, r.LowU}, {v.HighDiff, r.HighU}} {
		switch {
		case end.diff-2*end.u > v.Tolerance:
			v.Verdict = NotValidated
			return v
		case end.diff+2*end.u > v.Tolerance:
			v.Verdict = Undecided
		}
	}
	return v
}
