package conformity

import (
	"fmt"
	"math"
)

// Case is one question: does this error keep this limit under this rule.
type Case struct {
	ErrorUM float64 // error of indication, signed
	MPEUM   float64 // maximum permissible error, above 0; the limits are ±MPE, or 0 to MPE if OneSided

	// Uncertainty of the test value; nil if none is known, which only the rule simple accepts.
	Uncertainty *Uncertainty

	Rule Rule

	// OneSided is set for form errors, which are never negative and have an upper limit only. The conformance
	// probability is then Φ((MPE−E)/u): the zero below is a bound of nature and no tolerance limit, so no probability is
	// lost there. That bound is not used as knowledge either, since JCGM 106:2012, 7.3 has none; using it would lower the
	// probability, noticeably only when E itself is no larger than about 2 u.
	OneSided bool
}

// Uncertainty is an expanded uncertainty with its coverage factor, as a certificate or a budget states it.
type Uncertainty struct {
	ExpandedUM float64 // U, 0 or more
	Factor     float64 // k, above 0; the standard uncertainty is U/k
}

// Standard returns the uncertainty whose standard uncertainty is given, expanded with k = 2, the factor for which
// ILAC-G8:09/2019 states its risks.
func Standard(standardUM float64) *Uncertainty {
	return &Uncertainty{ExpandedUM: 2 * standardUM, Factor: 2}
}

// check returns the first input that cannot be used, in the order of the fields.
func (c Case) check() error {
	if err := checkLength("error_um", c.ErrorUM); err != nil {
		return err
	}
	if c.OneSided && c.ErrorUM < 0 {
		return &InputError{
			Field: "error_um", Found: fmt.Sprintf("%g", c.ErrorUM), Expected: "0 or more, as the case is one-sided",
			Mend: "judge a signed error with limits on both sides; a form error is a range and has no sign",
		}
	}
	if err := checkLength("mpe_um", c.MPEUM); err != nil {
		return err
	}
	if c.MPEUM <= 0 {
		return &InputError{
			Field: "mpe_um", Found: fmt.Sprintf("%g", c.MPEUM), Expected: "a limit above 0",
			Mend: "state the maximum permissible error without a sign",
		}
	}
	if _, err := ParseRule(string(c.Rule)); err != nil {
		return err
	}
	if c.Uncertainty != nil {
		return c.Uncertainty.check()
	}
	if c.Rule == Simple {
		return nil
	}
	return &InputError{
		Field: "uncertainty", Found: "not given", Expected: "an expanded uncertainty with its coverage factor, as rule " + string(c.Rule) + " needs it",
		Mend: "state the uncertainty of the test value, or decide by the rule simple",
	}
}

func (u Uncertainty) check() error {
	if err := checkLength("expanded_um", u.ExpandedUM); err != nil {
		return err
	}
	if u.ExpandedUM < 0 {
		return &InputError{
			Field: "expanded_um", Found: fmt.Sprintf("%g", u.ExpandedUM), Expected: "0 or more",
			Mend: "state the uncertainty without a sign",
		}
	}
	if !(u.Factor > 0) || math.IsInf(u.Factor, 0) {
		return &InputError{
			Field: "coverage_factor", Found: fmt.Sprintf("%g", u.Factor), Expected: "a finite number above 0",
			Mend: "take k from the certificate or the budget, commonly 2",
		}
	}
	if !(u.ExpandedUM/u.Factor <= largestUM) {
		return &InputError{
			Field: "coverage_factor", Found: fmt.Sprintf("%g", u.Factor), Expected: "a factor that leaves U/k a length of at most 1e12 micrometres",
			Mend: "take k from the certificate or the budget, commonly 2",
		}
	}
	return nil
}
