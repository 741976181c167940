package budget_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
	"plumbrule/rules/selftest"
)

// JCGM 100:2008, table G.2; the 95.45 % column is also EA-4/02 M:2022, table E.1.
func TestTableG2(t *testing.T) {
	for _, complaint := range selftest.Complaints("coverage factor") {
		t.Error(complaint)
	}
}

// More digits of the same table, recomputed, also for the probabilities as its heads round them.
func TestCoverageFactorDigits(t *testing.T) {
	for _, tt := range []struct{ p, nu, want float64 }{
		{0.95, 4, 2.7764},
		{0.9545, 4, 2.8693},
		{0.95, 16, 2.1199},
		{0.99, 16, 2.9208},
		{0.9545, 50, 2.0513},
		// Three standard deviations of the normal law: table G.2 prints 235.80, and 0.9973 gives 235.78. In closed form.
		{math.Erf(3 / math.Sqrt2), 1, math.Tan(math.Pi / 2 * math.Erf(3/math.Sqrt2))},
		// Student's t with 1 and 2 degrees of freedom in closed form: tan(πp/2) and p√(2/(1−p²)).
		{0.9, 1, math.Tan(math.Pi * 0.45)},
		{0.6, 2, 0.6 * math.Sqrt(2/0.64)},
	} {
		k, err := budget.CoverageFactor(tt.p, tt.nu)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("t(%g) for %g", tt.nu, tt.p), k, tt.want, 5e-5)
	}
	if k, err := budget.CoverageFactor(budget.DefaultProbability, math.Inf(1)); k != 2 || err != nil {
		t.Errorf("default k = %v, %v; want exactly 2", k, err)
	}
	near(t, "default probability", budget.DefaultProbability, math.Erf(math.Sqrt2), 1e-15)
}

func TestCoverageFactorFallsWithDegreesOfFreedom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0.5, 0.9999).Draw(t, "p")
		nu := math.Exp(rapid.Float64Range(0, 16).Draw(t, "ln nu"))
		k, err := budget.CoverageFactor(p, nu)
		more, errMore := budget.CoverageFactor(p, nu*1.5)
		if err != nil || errMore != nil || !(more < k*(1+1e-9)) || !(more > 0) {
			t.Fatalf("k(%g) = %g, k(%g) = %g (%v, %v)", nu, k, nu*1.5, more, err, errMore)
		}
	})
}

func TestCoverageFactorRefuses(t *testing.T) {
	for _, in := range [][2]float64{{0, 5}, {1, 5}, {95, 5}, {math.NaN(), 5}, {0.95, 0}, {0.95, 0.9}, {0.95, math.NaN()}} {
		var input *budget.InputError
		if k, err := budget.CoverageFactor(in[0], in[1]); !errors.As(err, &input) || k != 0 {
			t.Errorf("CoverageFactor%v = %g, %v; want an input error", in, k, err)
		}
	}
}

// GUM G.4.2 and GUM H.1: 10 %, 25 % and 50 % unreliable.
func TestTypeBDegreesOfFreedom(t *testing.T) {
	for r, want := range map[float64]float64{0.10: 50, 0.25: 8, 0.50: 2, 0: math.Inf(1), math.Sqrt(0.5): 1} {
		nu, err := budget.TypeBDegreesOfFreedom(r)
		if err != nil || nu < 1 || !(nu == want || math.Abs(nu-want) < 1e-12*want) {
			t.Errorf("TypeBDegreesOfFreedom(%g) = %g, %v; want %g", r, nu, err, want)
		}
	}
	for _, r := range []float64{-0.1, 0.8, math.NaN()} {
		if nu, err := budget.TypeBDegreesOfFreedom(r); err == nil {
			t.Errorf("TypeBDegreesOfFreedom(%g) = %g, want an error", r, nu)
		}
	}
}
