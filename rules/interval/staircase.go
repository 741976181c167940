package interval

import (
	"fmt"

	"plumbrule/rules/figure"
)

// Staircase adjusts the interval after every single calibration: longer by a factor if the error found was well inside the
// limit, shorter if it was outside, unchanged between.
//
// It reacts at once and proves nothing: one result says little about reliability, and the interval never settles.
//
// Source: ILAC-G24:2022 / OIML D 10:2022, 6.2, method 1, which names 80 % of the maximum permissible error as an example
// of "well inside" (wording from memory) and fixes no factor.
type Staircase struct {
	Lengthen float64 // factor, 1 to 10
	Shorten  float64 // factor, above 0, at most 1
	Within   float64 // share of the MPE up to and including which the interval is lengthened, above 0, at most 1
	Bounds   Bounds
}

// slack makes up for the quotient of two decimal numbers: an error of 2.4 under a limit of 3.0 is 80 % of it.
const slack = 1 + 1e-12

// Next proposes the interval that follows a calibration. It looks at the outcome alone: current is the interval that was
// set, which need not be the one that was kept. An [*InputError] names what cannot be used.
func (s Staircase) Next(currentMonths float64, o Outcome) (Proposal, error) {
	if err := s.check(currentMonths, o); err != nil {
		return Proposal{}, err
	}
	p := Proposal{
		Method: MethodStaircase, Subject: o.Subject, CurrentMonths: currentMonths,
		Confidence: figure.Absent("the staircase rests on one calibration and has no confidence"),
	}
	ratio := figure.Absent("the error as found is not known")
	if o.Ratio != nil {
		ratio = figure.Known(*o.Ratio)
	}
	p.rest(AsFoundRatio, "", ratio)
	switch {
	case !o.InTolerance && (o.Ratio == nil || *o.Ratio > 1):
		p.because("Found out of tolerance.")
		p.propose(s.Bounds, currentMonths*s.Shorten)
	case !o.InTolerance:
		p.because("Found out of tolerance by the decision rule, although the error itself is inside the MPE.")
		p.propose(s.Bounds, currentMonths*s.Shorten)
	case o.Ratio == nil:
		p.because("Found in tolerance; without the error itself nobody can say whether it was well inside.")
		p.propose(s.Bounds, currentMonths)
	case *o.Ratio > 1:
		p.because(fmt.Sprintf("The error found is %s of the MPE; a decision rule that accepts it does not make a longer wait safe.", percent(*o.Ratio)))
		p.propose(s.Bounds, currentMonths*s.Shorten)
	case *o.Ratio <= s.Within*slack:
		p.because(fmt.Sprintf("The error found is %s of the MPE, within the %s that count as well inside.", percent(*o.Ratio), percent(s.Within)))
		p.propose(s.Bounds, currentMonths*s.Lengthen)
	default:
		p.because(fmt.Sprintf("The error found is %s of the MPE: in tolerance, above the %s that count as well inside.", percent(*o.Ratio), percent(s.Within)))
		p.propose(s.Bounds, currentMonths)
	}
	return p, nil
}

func (s Staircase) check(currentMonths float64, o Outcome) error {
	if err := checkMonths("current_months", currentMonths); err != nil {
		return err
	}
	if err := o.check(); err != nil {
		return err
	}
	switch {
	case !(s.Lengthen >= 1 && s.Lengthen <= 10):
		return &InputError{Field: "lengthen", Found: fmt.Sprintf("%g", s.Lengthen), Expected: "a factor from 1 to 10", Mend: "write 20 % longer as 1.2"}
	case !(s.Shorten > 0 && s.Shorten <= 1):
		return &InputError{Field: "shorten", Found: fmt.Sprintf("%g", s.Shorten), Expected: "a factor above 0 and at most 1", Mend: "write 40 % shorter as 0.6"}
	case !(s.Within > 0 && s.Within <= 1):
		return &InputError{Field: "within", Found: fmt.Sprintf("%g", s.Within), Expected: "a share of the MPE above 0 and at most 1", Mend: "write 80 % as 0.8"}
	}
	return s.Bounds.check()
}
