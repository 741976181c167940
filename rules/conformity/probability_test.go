package conformity_test

import (
	"errors"
	"math"
	"testing"

	"plumbrule/rules/conformity"
	"plumbrule/rules/selftest"
)

func TestPublishedConformanceProbabilities(t *testing.T) {
	tests := []struct {
		name                     string
		y, u, lower, upper, want float64
		tolerance                float64
	}{
		{"JCGM 106:2012, clause 7, breakdown voltage (published 0.92)", -5.47, 0.05, math.Inf(-1), -5.40, 0.91924, 5e-6},
		{"JCGM 106:2012, clause 7, oil viscosity (published 0.66)", 13.6, 1.8, 12.5, 16.3, 0.66263, 5e-6},
		{"JCGM 106:2012, table 1, z = 0.84162", 0, 1, math.Inf(-1), 0.84162, 0.80, 5e-6},
		{"JCGM 106:2012, table 1, z = 1.28155", 0, 1, math.Inf(-1), 1.28155, 0.90, 5e-6},
		{"JCGM 106:2012, table 1, z = 1.64485", 0, 1, math.Inf(-1), 1.64485, 0.95, 5e-6},
		{"JCGM 106:2012, table 1, z = 2.32635", 0, 1, math.Inf(-1), 2.32635, 0.99, 5e-6},
		{"JCGM 106:2012, table 1, z = 3.09023", 0, 1, math.Inf(-1), 3.09023, 0.999, 5e-6},
		{"lower limit only", 0, 1, -1.64485, math.Inf(1), 0.95, 5e-6},
		{"no limits", 5, 1, math.Inf(-1), math.Inf(1), 1, 0},
		// ILAC-G8:09/2019, table of specific risks, 6 sigma rule: 1e-9 by the normal law; the digits must survive.
		{"six u above the upper limit", 6, 1, -100, 0, 9.8658764504e-10, 5e-20},
		{"six u below the lower limit", -6, 1, 0, 100, 9.8658764504e-10, 5e-20},
		{"no spread, on the limit", 2, 0, 1, 2, 1, 0},
		{"no spread, outside", 2.1, 0, 1, 2, 0, 0},
	}
	for _, tt := range tests {
		got, err := conformity.Probability(tt.y, tt.u, tt.lower, tt.upper)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		near(t, tt.name, got, tt.want, tt.tolerance)
	}
	oneSided, err := conformity.ProbabilityOneSided(-5.47, 0.05, -5.40)
	if err != nil {
		t.Error(err)
	}
	near(t, "breakdown voltage, one-sided", oneSided, 0.91924, 5e-6)
}

func TestProbabilityRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, in := range [][4]float64{{nan, 1, 0, 1}, {0, nan, 0, 1}, {0, 1, nan, 1}, {0, 1, 0, nan}, {inf, 1, 0, 1}, {0, inf, 0, 1}, {0, -1, 0, 1}, {0, 1, 1, 0}} {
		var input *conformity.InputError
		if p, err := conformity.Probability(in[0], in[1], in[2], in[3]); !errors.As(err, &input) || p != 0 {
			t.Errorf("Probability%v = %g, %v; want an input error", in, p, err)
		}
	}
}

// JCGM 106:2012, 9.5: resistors N(1500 Ω, 0.12 Ω), limits 1499.8 and 1500.2 Ω, u = 0.04 Ω; values recomputed by independent
// integration.
func TestGlobalRisk(t *testing.T) {
	for _, complaint := range selftest.Complaints("global risk", "conformance probability") {
		t.Error(complaint)
	}
	process := conformity.Process{Mean: 1500, SD: 0.12, U: 0.04, Lower: 1499.8, Upper: 1500.2}
	tests := []struct{ guard, consumer, halfC, producer, halfP float64 }{
		{0.3, 0, 0, 1 - 0.095581, 5e-7}, // the acceptance limits have crossed: every conforming item is rejected
	}
	for _, tt := range tests {
		p := process
		p.Guard = tt.guard
		consumer, producer, err := conformity.GlobalRisk(p)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "consumer's risk", consumer, tt.consumer, tt.halfC)
		near(t, "producer's risk", producer, tt.producer, tt.halfP)
	}
	perfect := process
	perfect.U = 0
	consumer, producer, err := conformity.GlobalRisk(perfect)
	if consumer != 0 || producer != 0 || err != nil {
		t.Errorf("risks of a perfect measurement: %g, %g, %v; want 0, 0", consumer, producer, err)
	}
	perfect.U = 1e-7 // steep edges must not slip between the nodes: both risks are about φ(limit)·u/√(2π) each side
	consumer, producer, err = conformity.GlobalRisk(perfect)
	density := math.Exp(-0.5*(0.2/0.12)*(0.2/0.12)) / (0.12 * math.Sqrt(2*math.Pi))
	if err != nil {
		t.Error(err)
	}
	near(t, "consumer's risk", consumer, 2*density*1e-7/math.Sqrt(2*math.Pi), 1e-12)
	near(t, "producer's risk", producer, 2*density*1e-7/math.Sqrt(2*math.Pi), 1e-12)

	for _, spoil := range []func(*conformity.Process){
		func(p *conformity.Process) { p.SD = 0 },
		func(p *conformity.Process) { p.U = -1 },
		func(p *conformity.Process) { p.Lower = p.Upper },
		func(p *conformity.Process) { p.Guard = math.NaN() },
	} {
		p := process
		spoil(&p)
		var input *conformity.InputError
		if _, _, err := conformity.GlobalRisk(p); !errors.As(err, &input) {
			t.Errorf("GlobalRisk(%+v): %v, want an input error", p, err)
		}
	}
}
