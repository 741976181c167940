package budget_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
)

// JCGM 100:2008, table G.2, recomputed for the probabilities as its heads round them; the 95.45 % column is also EA-4/02
// M:2022, table E.1. The table itself means one, two and three standard deviations of the normal law, which shows at ν = 1
// only: see TestCoverageFactorDigits.
func TestTableG2(t *testing.T) {
	probabilities := []float64{0.6827, 0.90, 0.95, 0.9545, 0.99, 0.9973}
	rows := []struct {
		nu     float64
		k      [6]float64
		digits int
	}{
		{1, [6]float64{1.84, 6.31, 12.71, 13.97, 63.66, 235.78}, 2},
		{2, [6]float64{1.32, 2.92, 4.30, 4.53, 9.92, 19.21}, 2},
		{3, [6]float64{1.20, 2.35, 3.18, 3.31, 5.84, 9.22}, 2},
		{4, [6]float64{1.14, 2.13, 2.78, 2.87, 4.60, 6.62}, 2},
		{5, [6]float64{1.11, 2.02, 2.57, 2.65, 4.03, 5.51}, 2},
		{6, [6]float64{1.09, 1.94, 2.45, 2.52, 3.71, 4.90}, 2},
		{8, [6]float64{1.07, 1.86, 2.31, 2.37, 3.36, 4.28}, 2},
		{10, [6]float64{1.05, 1.81, 2.23, 2.28, 3.17, 3.96}, 2},
		{15, [6]float64{1.03, 1.75, 2.13, 2.18, 2.95, 3.59}, 2},
		{20, [6]float64{1.03, 1.72, 2.09, 2.13, 2.85, 3.42}, 2},
		{30, [6]float64{1.02, 1.70, 2.04, 2.09, 2.75, 3.27}, 2},
		{50, [6]float64{1.01, 1.68, 2.01, 2.05, 2.68, 3.16}, 2},
		{100, [6]float64{1.005, 1.660, 1.984, 2.025, 2.626, 3.077}, 3},
		{math.Inf(1), [6]float64{1.000, 1.645, 1.960, 2.000, 2.576, 3.000}, 3},
	}
	for _, row := range rows {
		for i, p := range probabilities {
			k, err := budget.CoverageFactor(p, row.nu)
			if err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("t(%g) for %g", row.nu, p), k, row.k[i], 0.5*math.Pow10(-row.digits)*(1+1e-9))
		}
	}
}

// More digits of the same table, recomputed.
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
