package conformity_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"plumbrule/rules/conformity"
)

// near fails unless got is within tolerance of want; NaN is never near.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.12g, want %.12g ± %g", what, got, want, tolerance)
	}
}

// value returns a figure's value and fails if there is none.
func value(t *testing.T, what string, f conformity.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Fatalf("%s is absent (%s), want a value", what, f.Reason)
	}
	return *f.Value
}

func decide(t *testing.T, c conformity.Case) conformity.Decision {
	t.Helper()
	d, err := conformity.Decide(c)
	if err != nil {
		t.Fatalf("Decide(%+v): %v", c, err)
	}
	return d
}

// MPE 65 µm, U 10 µm at k = 2. Zones: ILAC-G8:09/2019, 4.2.1–4.2.3, and ISO 14253-1:2017, default rule; probabilities:
// two-sided, JCGM 106:2012, 7.4, to the digits printed.
func TestVerdictsOfAllRules(t *testing.T) {
	const (
		pass, fail, inconclusive = conformity.Pass, conformity.Fail, conformity.Inconclusive
		condPass, condFail       = conformity.ConditionalPass, conformity.ConditionalFail
	)
	tests := []struct {
		errorUM                         float64
		simple, guardU, fourValued, iso conformity.Verdict
		probability, half               float64 // half a unit of the last digit printed
	}{
		{40, pass, pass, pass, pass, 0.9999997, 5e-8},
		{53, pass, pass, pass, pass, 0.991802, 5e-7},
		{55, pass, pass, pass, pass, 0.977250, 5e-7},
		{56.5, pass, fail, condPass, pass, 0.955435, 5e-7},
		{57, pass, fail, condPass, inconclusive, 0.945201, 5e-7},
		{-58, pass, fail, condPass, inconclusive, 0.919243, 5e-7},
		{65, pass, fail, condPass, inconclusive, 0.5, 5e-7},
		{66, fail, fail, condFail, inconclusive, 0.420740, 5e-7},
		{73, fail, fail, condFail, inconclusive, 0.0547993, 5e-8},
		{74, fail, fail, condFail, fail, 0.0359303, 5e-8},
		{75, fail, fail, condFail, fail, 0.0227501, 5e-8}, // on MPE + U: inside, Φ(−2)
		{76, fail, fail, fail, fail, 0.0139034, 5e-8},
	}
	for _, tt := range tests {
		for rule, want := range map[conformity.Rule]conformity.Verdict{
			conformity.Simple: tt.simple, conformity.GuardU: tt.guardU, conformity.FourValued: tt.fourValued, conformity.ISO14253: tt.iso,
		} {
			d := decide(t, conformity.Case{
				ErrorUM: tt.errorUM, MPEUM: 65, Rule: rule,
				Uncertainty: &conformity.Uncertainty{ExpandedUM: 10, Factor: 2},
			})
			if d.Verdict != want {
				t.Errorf("%s, E = %g: %s, want %s", rule, tt.errorUM, d.Verdict, want)
			}
			near(t, "conformance probability", value(t, "probability", d.ConformanceProbability), tt.probability, tt.half)
			near(t, "ratio", value(t, "ratio", d.Ratio), 6.5, 1e-12)
		}
	}
}

func TestLimits(t *testing.T) {
	tests := []struct {
		rule             conformity.Rule
		accept, reject   float64
		toleranceOfLimit float64
	}{
		{conformity.Simple, 65, 65, 0},
		{conformity.GuardU, 55, 55, 0},
		{conformity.FourValued, 55, 75, 0},
		// 65 ∓ 5·1.6448536269514722, the 95 % point of the normal law (JCGM 106:2012, table 1, prints 1.64).
		{conformity.ISO14253, 56.775731865242639, 73.224268134757361, 65e-12},
	}
	for _, tt := range tests {
		d := decide(t, conformity.Case{ErrorUM: 1, MPEUM: 65, Rule: tt.rule, Uncertainty: conformity.Standard(5)})
		near(t, string(tt.rule)+" acceptance limit", value(t, "acceptance", d.AcceptanceLimitUM), tt.accept, tt.toleranceOfLimit)
		near(t, string(tt.rule)+" rejection limit", value(t, "rejection", d.RejectionLimitUM), tt.reject, tt.toleranceOfLimit)
	}
}

// Errors are differences of millimetres, and 65 of them is 65 plus noise: 800.065 − 800 gives 65.00000000005.
func TestTieOnTheLimitIsInside(t *testing.T) {
	reading, reference := 800.065, 800.0
	noisy := (reading - reference) * 1000
	if noisy <= 65 {
		t.Fatalf("the difference is %.17g and shows no noise", noisy)
	}
	for rule, mpe := range map[conformity.Rule]float64{conformity.Simple: 65, conformity.GuardU: 75, conformity.FourValued: 75} {
		d := decide(t, conformity.Case{ErrorUM: noisy, MPEUM: mpe, Rule: rule, Uncertainty: conformity.Standard(5)})
		if d.Verdict != conformity.Pass {
			t.Errorf("%s: %s on the limit, want pass", rule, d.Verdict)
		}
		d = decide(t, conformity.Case{ErrorUM: noisy + 3e-8, MPEUM: mpe, Rule: rule, Uncertainty: conformity.Standard(5)})
		if d.Verdict == conformity.Pass {
			t.Errorf("%s: pass at 30 fm over the limit", rule)
		}
	}
	// 0.3 − 0.1 is a bit under 0.2 in floating point.
	d := decide(t, conformity.Case{ErrorUM: 0.2, MPEUM: 0.3, Rule: conformity.GuardU, Uncertainty: &conformity.Uncertainty{ExpandedUM: 0.1, Factor: 2}})
	if d.Verdict != conformity.Pass {
		t.Errorf("0.2 against 0.3 − 0.1: %s, want pass", d.Verdict)
	}
}

func TestGuardBandWiderThanTheLimit(t *testing.T) {
	for rule, want := range map[conformity.Rule]conformity.Verdict{conformity.GuardU: conformity.Fail, conformity.FourValued: conformity.ConditionalPass} {
		d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: 10, Rule: rule, Uncertainty: conformity.Standard(6)})
		if d.Verdict != want || d.AcceptanceLimitUM.Value != nil || d.AcceptanceLimitUM.Reason == "" || !hasNote(d, conformity.NoteCannotPass) {
			t.Errorf("%s with U over the MPE: %+v, want %s, no acceptance limit and a note", rule, d, want)
		}
	}
	// U equal to the MPE leaves exactly the error 0.
	d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: 10, Rule: conformity.GuardU, Uncertainty: conformity.Standard(5)})
	if d.Verdict != conformity.Pass {
		t.Errorf("E = 0 with U = MPE: %s, want pass", d.Verdict)
	}
}

func hasNote(d conformity.Decision, id conformity.NoteID) bool {
	return slices.ContainsFunc(d.Notes, func(n conformity.Note) bool { return n.ID == id && n.Text != "" })
}

func TestSimpleWithoutUncertainty(t *testing.T) {
	d := decide(t, conformity.Case{ErrorUM: 12, MPEUM: 65, Rule: conformity.Simple})
	for name, f := range map[string]conformity.Figure{"U": d.ExpandedUM, "ratio": d.Ratio, "probability": d.ConformanceProbability} {
		if f.Value != nil || f.Reason == "" {
			t.Errorf("%s without an uncertainty: %v %q, want none and a reason", name, f.Value, f.Reason)
		}
	}
	if d.Verdict != conformity.Pass || !hasNote(d, conformity.NoteNoUncertainty) {
		t.Errorf("got %s with notes %v, want pass and the note that nothing backs it", d.Verdict, d.Notes)
	}
}

func TestZeroUncertainty(t *testing.T) {
	for _, rule := range []conformity.Rule{conformity.Simple, conformity.GuardU, conformity.FourValued, conformity.ISO14253} {
		for errorUM, want := range map[float64]float64{65: 1, -65: 1, 65.1: 0} {
			d := decide(t, conformity.Case{ErrorUM: errorUM, MPEUM: 65, Rule: rule, Uncertainty: conformity.Standard(0)})
			p := value(t, "probability", d.ConformanceProbability)
			if p != want || (d.Verdict == conformity.Pass) != (want == 1) || (d.Verdict == conformity.Fail) != (want == 0) || d.Ratio.Value != nil {
				t.Errorf("%s, E = %g: %s, p %g, want p %g and no ratio", rule, errorUM, d.Verdict, p, want)
			}
		}
	}
}

func TestRefusedInputs(t *testing.T) {
	good := func() conformity.Case {
		return conformity.Case{ErrorUM: 1, MPEUM: 65, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(5)}
	}
	tests := []struct {
		field string
		spoil func(*conformity.Case)
	}{
		{"error_um", func(c *conformity.Case) { c.ErrorUM = math.NaN() }},
		{"error_um", func(c *conformity.Case) { c.ErrorUM = math.Inf(-1) }},
		{"error_um", func(c *conformity.Case) { c.ErrorUM, c.OneSided = -0.1, true }},
		{"mpe_um", func(c *conformity.Case) { c.MPEUM = 0 }},
		{"mpe_um", func(c *conformity.Case) { c.MPEUM = -65 }},
		{"mpe_um", func(c *conformity.Case) { c.MPEUM = math.Inf(1) }},
		{"rule", func(c *conformity.Case) { c.Rule = "" }},
		{"uncertainty", func(c *conformity.Case) { c.Uncertainty = nil }},
		{"expanded_um", func(c *conformity.Case) { c.Uncertainty.ExpandedUM = -1 }},
		{"expanded_um", func(c *conformity.Case) { c.Uncertainty.ExpandedUM = math.NaN() }},
		{"coverage_factor", func(c *conformity.Case) { c.Uncertainty.Factor = 0 }},
		{"coverage_factor", func(c *conformity.Case) { c.Uncertainty.Factor = math.NaN() }},
		{"coverage_factor", func(c *conformity.Case) { c.Uncertainty.Factor = 1e-300 }},
	}
	for _, tt := range tests {
		c := good()
		tt.spoil(&c)
		d, err := conformity.Decide(c)
		var input *conformity.InputError
		if !errors.As(err, &input) || input.Field != tt.field || input.Expected == "" {
			t.Errorf("Decide(%+v): %v, want an error on %s that says what was expected", c, err, tt.field)
		}
		if d.Verdict != "" {
			t.Errorf("Decide(%+v) gave %s beside its error", c, d.Verdict)
		}
	}
}
