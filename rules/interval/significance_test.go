package interval_test

import (
	"testing"

	"plumbrule/rules/interval"
)

// Expected probabilities: binomial sums in 40-digit decimal arithmetic.
func TestCompareWithTarget(t *testing.T) {
	for _, c := range []struct {
		k, n            int
		target          float64
		atMost, atLeast float64 // negative: not compared
		want            interval.Direction
	}{
		{45, 50, 0.95, 0.103617, -1, interval.Keep},
		{42, 50, 0.95, 0.003188, -1, interval.Shorten},
		{18, 20, 0.95, 0.264160, -1, interval.Keep},
		{16, 20, 0.95, 0.015902, -1, interval.Shorten},
		{50, 50, 0.85, 1, 0.000296, interval.Lengthen},
		{59, 59, 0.95, 1, 0.048495, interval.Lengthen}, // 0.95^59
		{58, 58, 0.95, 1, 0.051047, interval.Keep},     // 0.95^58
		{0, 1, 0.95, 0.05, 1, interval.Shorten},        // exactly the significance
		{1, 2, 0.5, 0.75, 0.75, interval.Keep},
	} {
		got, err := interval.CompareWithTarget(c.k, c.n, c.target, 0.05)
		if err != nil {
			t.Fatal(err)
		}
		if c.atMost >= 0 {
			near(t, "P(X ≤ k)", got.AtMost, c.atMost, 5e-7)
		}
		if c.atLeast >= 0 {
			near(t, "P(X ≥ k)", got.AtLeast, c.atLeast, 5e-7)
		}
		if got.Direction != c.want {
			t.Errorf("%d of %d against %g: %s, want %s", c.k, c.n, c.target, got.Direction, c.want)
		}
	}
	for _, bad := range []float64{0, 0.6, 1} {
		if _, err := interval.CompareWithTarget(1, 2, 0.9, bad); err == nil {
			t.Errorf("significance %g was accepted", bad)
		}
	}
}

// ln 0.05/ln target, rounded up; 59 and 299 are the well-known ones, 22 and 29 the same for 90 %.
func TestOutcomesToLengthen(t *testing.T) {
	for _, c := range []struct {
		target, confidence float64
		want               int
	}{{0.95, 0.95, 59}, {0.90, 0.95, 29}, {0.90, 0.90, 22}, {0.99, 0.95, 299}, {0.5, 0.75, 2}, {0.05, 0.5, 1}} {
		got, err := interval.OutcomesToLengthen(c.target, c.confidence)
		if err != nil || got != c.want {
			t.Errorf("%g with %g: got %d, %v, want %d", c.target, c.confidence, got, err, c.want)
		}
	}
	if _, err := interval.OutcomesToLengthen(1-1e-8, 0.95); err == nil {
		t.Error("a target that takes 3e8 outcomes was accepted")
	}
}
