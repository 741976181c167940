package conformity_test

import (
	"math"
	"testing"

	"plumbrule/rules/conformity"
)

// The distance of the 95 % limit from the MPE in u grows as the limits close in: JCGM 106:2012, 7.4, solved for p = 0.95.
// Values to the digits given, recomputed independently.
func TestGuardFactorOfNarrowLimits(t *testing.T) {
	tests := []struct{ width, factor float64 }{
		{80, 1.6449}, {12, 1.6449}, {11.99, 1.6449}, {10, 1.6449}, {6, 1.6449}, {5, 1.6488}, {4.5, 1.6677}, {4, 1.7962}, {3.92, 1.9539},
	}
	for _, tt := range tests {
		d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: tt.width / 2, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(1)})
		limit := value(t, "acceptance limit", d.AcceptanceLimitUM)
		near(t, "factor", tt.width/2-limit, tt.factor, 5e-5)
		if d.Verdict != conformity.Pass {
			t.Errorf("T/u = %g: %s at E = 0, want pass", tt.width, d.Verdict)
		}
		for _, side := range []float64{-1, 1} {
			at := decide(t, conformity.Case{ErrorUM: side * limit, MPEUM: tt.width / 2, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(1)})
			near(t, "probability on the limit", value(t, "probability", at.ConformanceProbability), 0.95, 1e-14)
			if at.Verdict != conformity.Pass {
				t.Errorf("T/u = %g: %s on the acceptance limit, want pass", tt.width, at.Verdict)
			}
		}
		reject := value(t, "rejection limit", d.RejectionLimitUM)
		at := decide(t, conformity.Case{ErrorUM: -reject, MPEUM: tt.width / 2, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(1)})
		near(t, "probability on the limit", value(t, "probability", at.ConformanceProbability), 0.05, 1e-14)
		if at.Verdict != conformity.Fail {
			t.Errorf("T/u = %g: %s on the rejection limit, want fail", tt.width, at.Verdict)
		}
	}
}

// Inside MPE − 1.65 u, and yet 0.9044 only: the factor must not decide.
func TestProbabilityOverrulesFactor(t *testing.T) {
	d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: 10, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(6)})
	near(t, "probability", value(t, "probability", d.ConformanceProbability), 0.9044, 5e-5)
	if d.Verdict != conformity.Inconclusive || d.AcceptanceLimitUM.Value != nil || d.AcceptanceLimitUM.Reason == "" {
		t.Errorf("got %s, acceptance limit %+v; want inconclusive and none", d.Verdict, d.AcceptanceLimitUM)
	}
	if !hasNote(d, conformity.NoteCannotPass) || !hasNote(d, conformity.NoteFactorDisagrees) {
		t.Errorf("notes %v lack that nothing can pass, or that the factor disagrees", d.Notes)
	}
}

// Where factor and probability agree nothing is said; between 65 − 1.65·5 = 56.75 and the exact 56.7757 they do not.
func TestFactorNotedOnlyWhereItDisagrees(t *testing.T) {
	for errorUM, want := range map[float64]bool{0: false, 56.74: false, -56.76: true, 56.78: false, 66: false, 80: false} {
		d := decide(t, conformity.Case{ErrorUM: errorUM, MPEUM: 65, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(5)})
		if hasNote(d, conformity.NoteFactorDisagrees) != want {
			t.Errorf("E = %g: notes %v, want one on the factor: %t", errorUM, d.Notes, want)
		}
	}
}

// 95 % needs limits 2·1.95996 u apart (the two-sided 95 % point of the normal law).
func TestNarrowestLimitsThatCanPass(t *testing.T) {
	for width, want := range map[float64]conformity.Verdict{3.9200: conformity.Pass, 3.9199: conformity.Inconclusive, 3.9: conformity.Inconclusive} {
		d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: width / 2, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(1)})
		if d.Verdict != want || hasNote(d, conformity.NoteCannotPass) != (want != conformity.Pass) {
			t.Errorf("T/u = %g: %s with notes %v, want %s", width, d.Verdict, d.Notes, want)
		}
	}
}

func TestIgnoranceProvesNothing(t *testing.T) {
	d := decide(t, conformity.Case{ErrorUM: 0, MPEUM: 1, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(100)})
	if d.Verdict != conformity.Inconclusive || !hasNote(d, conformity.NoteUninformative) || d.RejectionLimitUM.Value != nil {
		t.Errorf("E = 0 with u = 100 MPE: %+v, want inconclusive, no rejection limit and a note", d)
	}
	if d := decide(t, conformity.Case{ErrorUM: 1000, MPEUM: 1, Rule: conformity.ISO14253, Uncertainty: conformity.Standard(100)}); d.Verdict != conformity.Fail {
		t.Errorf("ten u outside: %s, want fail", d.Verdict)
	}
}

// A form error has no lower tolerance limit: p = Φ((MPE − E)/u), JCGM 106:2012, 7.3.
func TestOneSided(t *testing.T) {
	tests := []struct {
		errorUM, mpeUM, u, probability float64
		want                           conformity.Verdict
	}{
		{0, 10, 6, 0.9522096, conformity.Pass}, // Φ(5/3); both sides would give 0.9044
		{4, 10, 4, 0.9331928, conformity.Inconclusive},
		{10, 10, 4, 0.5, conformity.Inconclusive},
		{18, 10, 4, 0.0227501, conformity.Fail},
		{0, 10, 8, 0.8943502, conformity.Inconclusive},
	}
	for _, tt := range tests {
		d := decide(t, conformity.Case{ErrorUM: tt.errorUM, MPEUM: tt.mpeUM, Rule: conformity.ISO14253, OneSided: true, Uncertainty: conformity.Standard(tt.u)})
		near(t, "probability", value(t, "probability", d.ConformanceProbability), tt.probability, 5e-8)
		if d.Verdict != tt.want {
			t.Errorf("E = %g, u = %g: %s, want %s", tt.errorUM, tt.u, d.Verdict, tt.want)
		}
		near(t, "rejection limit", value(t, "rejection limit", d.RejectionLimitUM), tt.mpeUM+1.6448536269514722*tt.u, 1e-11)
		if reachable := tt.mpeUM/tt.u >= 1.6449; (d.AcceptanceLimitUM.Value != nil) != reachable || hasNote(d, conformity.NoteCannotPass) == reachable {
			t.Errorf("u = %g: acceptance limit %+v, notes %v", tt.u, d.AcceptanceLimitUM, d.Notes)
		} else if reachable {
			near(t, "acceptance limit", *d.AcceptanceLimitUM.Value, math.Max(0, tt.mpeUM-1.6448536269514722*tt.u), 1e-11)
		}
	}
}
