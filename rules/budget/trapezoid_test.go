package budget_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
)

// EA-4/02 M:2022, S10: k = 1.83; the limits of the formula are the triangle and the rectangle, in closed form.
func TestTrapezoidalCoverageFactor(t *testing.T) {
	for _, tt := range []struct{ beta, want float64 }{
		{25.0 / 75, 1.83389}, {0, 1.9018}, {0.5, 1.7666}, {1, 1.6454},
	} {
		k, err := budget.TrapezoidalCoverageFactor(0.95, tt.beta)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "k", k, tt.want, 5e-5+5e-6)
	}
	for _, in := range [][2]float64{{95, 0.5}, {0.95, -0.1}, {0.95, 1.1}, {0.95, math.NaN()}} {
		if k, err := budget.TrapezoidalCoverageFactor(in[0], in[1]); err == nil {
			t.Errorf("p = %g, β = %g: %g, want an error", in[0], in[1], k)
		}
	}
}

// The interval of ±k holds the area p of the trapezoid, whichever part it ends on.
func TestTrapezoidHoldsItsProbability(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, beta := rapid.Float64Range(0.5, 0.9999).Draw(t, "p"), rapid.Float64Range(0, 1).Draw(t, "beta")
		k, err := budget.TrapezoidalCoverageFactor(p, beta)
		if err != nil {
			t.Fatal(err)
		}
		end := k * math.Sqrt((1+beta*beta)/6) // of a base from −1 to 1
		area := 2 * math.Min(end, beta) / (1 + beta)
		if end > beta {
			// A slope falls from 1/(1 + β) to 0 over 1 − β.
			outside := (1 - end) * (1 - end) / (1 - beta*beta)
			area = 1 - outside
		}
		if math.Abs(area-p) > 1e-12 {
			t.Fatalf("±%g holds %g, want %g (β = %g)", end, area, p, beta)
		}
	})
}
