package budget_test

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
)

// EA-4/02 M:2022 6.3, from memory; the results of its examples S2, S4 and S10 as published.
func TestRound(t *testing.T) {
	for _, tt := range []struct {
		u      float64
		digits int
		want   float64
		last   int
	}{
		{58.5246, 2, 59, 0},     // S2: 59 mg
		{72.788, 2, 73, 0},      // S4: 73 nm
		{0.059308, 1, 0.06, -2}, // S10: 0.06 mm
		{64, 1, 70, 1},          // 60 would be 6 % less
		{63, 1, 60, 1},
		{1.04, 1, 1, 0},
		{1.06, 1, 2, 0}, // 1 would be 6 % less
		{0.0996, 2, 0.10, -2},
		{9.96, 1, 10, 1},
		{12345, 2, 12000, 3},
		{1.2345e-7, 2, 1.2e-7, -8},
		{2, 2, 2, -1},
		{0, 2, 0, 0},
		{math.NaN(), 2, 0, 0},
		{math.Inf(1), 2, 0, 0},
	} {
		got, last := budget.Round(tt.u, tt.digits)
		if got != tt.want || last != tt.last {
			t.Errorf("Round(%g, %d) = %g to 1e%d, want %g to 1e%d", tt.u, tt.digits, got, last, tt.want, tt.last)
		}
	}
}

func TestRoundingLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := math.Exp(rapid.Float64Range(-30, 30).Draw(t, "ln u"))
		digits := rapid.IntRange(1, 3).Draw(t, "digits")
		got, last := budget.Round(u, digits)
		if got < u*0.95 || got > u*2 || digits > 1 && got > u*1.05 {
			t.Fatalf("%g becomes %g", u, got)
		}
		if again, _ := budget.Round(got, digits); again != got {
			t.Fatalf("%g becomes %g and that %g", u, got, again)
		}
		if text := strconv.FormatFloat(got, 'f', max(0, -last), 64); last <= 0 {
			if back, err := strconv.ParseFloat(text, 64); err != nil || math.Abs(back-got) > 1e-12*got {
				t.Fatalf("%g has digits below 1e%d", got, last)
			}
		} else if math.Mod(got, math.Pow10(last)) != 0 {
			t.Fatalf("%g has digits below 1e%d", got, last)
		}
	})
}
