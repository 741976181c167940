package chart

import (
	"cmp"
	"fmt"
)

// Scheme is a chart as a rule of decision on points of known centre and
// standard deviation. Fields mean what they mean in Settings, so do zeros.
type Scheme struct {
	Kind                           Kind // empty means KindIndividuals
	Tests                          Tests
	Weight, Width                  float64
	Reference, Decision, HeadStart float64
	// Fixed gives an EWMA the limits that its limits approach, from the first
	// point on. EWMA itself never does; most published tables do.
	Fixed bool
}

// Scheme returns the rule of decision in the settings.
func (s Settings) Scheme() Scheme {
	return Scheme{
		Kind: s.Kind, Tests: s.Tests, Weight: s.Weight, Width: s.Width,
		Reference: s.Reference, Decision: s.Decision, HeadStart: s.HeadStart,
	}
}

// complete fills in the defaults.
func (s Scheme) complete() Scheme {
	s.Kind = cmp.Or(s.Kind, KindIndividuals)
	s.Weight, s.Width = cmp.Or(s.Weight, DefaultWeight), cmp.Or(s.Width, DefaultWidth)
	s.Reference, s.Decision = cmp.Or(s.Reference, DefaultReference), cmp.Or(s.Decision, DefaultDecision)
	return s
}

func (s Scheme) check() error {
	s = s.complete()
	switch {
	case !(s.Weight > 0 && s.Weight <= 1):
		return fmt.Errorf("a weight of %v; expected a number above 0 and at most 1", s.Weight)
	case !(s.Width > 0 && finite(s.Width)):
		return fmt.Errorf("a width of %v standard deviations; expected a finite number above 0", s.Width)
	case !(s.Reference > 0 && finite(s.Reference)):
		return fmt.Errorf("a reference value of %v sigma; expected a finite number above 0", s.Reference)
	case !(s.Decision > 0 && finite(s.Decision)):
		return fmt.Errorf("a decision value of %v sigma; expected a finite number above 0", s.Decision)
	case !(s.HeadStart >= 0 && s.HeadStart < s.Decision):
		return fmt.Errorf("a head start of %v sigma; expected a number from 0 to below the decision value of %v", s.HeadStart, s.Decision)
	}
	return s.Tests.check()
}
