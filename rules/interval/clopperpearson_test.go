package interval_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/interval"
	"plumbrule/rules/selftest"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

func TestClopperPearson(t *testing.T) {
	for _, complaint := range selftest.Complaints("binomial limit") {
		t.Error(complaint)
	}
	const half = 5e-7
	nan := math.NaN()
	for _, c := range []struct {
		source              string
		k, n                int
		confidence          float64
		lower, upper, shown float64
		tolerance           float64
	}{
		{"R 4.2 or SciPy, beta quantiles", 20, 20, 0.95, 0.831567, 1, 0.860892, half},
		{"R 4.2 or SciPy, beta quantiles", 45, 50, 0.95, 0.781865, 0.966725, 0.801167, half},
		{"R 4.2 or SciPy, beta quantiles", 10, 12, 0.95, 0.515862, 0.979137, 0.561895, half},
		{"R 4.2 or SciPy, beta quantiles", 9, 10, 0.95, 0.554984, 0.997471, 0.605837, half},
		{"R 4.2 or SciPy, beta quantiles", 8, 8, 0.95, 0.630583, 1, 0.687656, half},
		{"closed form 0.05^(1/59)", 59, 59, 0.95, nan, 1, 0.950492, half},
		{"closed form, 1 of 1: 0.025 and 0.05", 1, 1, 0.95, 0.025, 1, 0.05, 1e-12},
		{"closed form, 0 of 3: 1 − 0.025^(1/3)", 0, 3, 0.95, 0, 0.7075982261, 0, 1e-10},
	} {
		p, err := interval.ClopperPearson(c.k, c.n, c.confidence)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range []struct {
			what      string
			got, want float64
		}{{"lower", p.Lower, c.lower}, {"upper", p.Upper, c.upper}, {"one-sided lower", p.OneSidedLower, c.shown}} {
			if !math.IsNaN(f.want) {
				near(t, c.source+": "+f.what, f.got, f.want, c.tolerance)
			}
		}
		near(t, "estimate", p.Estimate, float64(c.k)/float64(c.n), 0)
	}
}

// The upper limits of the failures are the lower ones of the successes, and the limits bracket the estimate and widen with
// the confidence.
func TestClopperPearsonLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 500).Draw(t, "n")
		k := rapid.IntRange(0, n).Draw(t, "k")
		c := rapid.Float64Range(0.5, 0.999).Draw(t, "confidence")
		p, err := interval.ClopperPearson(k, n, c)
		if err != nil {
			t.Fatal(err)
		}
		q, err := interval.ClopperPearson(n-k, n, c)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(p.Lower-(1-q.Upper)) > 1e-12 || math.Abs(p.OneSidedUpper-(1-q.OneSidedLower)) > 1e-12 {
			t.Fatalf("%+v and %+v are not mirrored", p, q)
		}
		if !(0 <= p.Lower && p.Lower <= p.OneSidedLower && p.Lower <= p.Estimate && p.Estimate <= p.Upper && p.OneSidedUpper <= p.Upper && p.Upper <= 1) {
			t.Fatalf("out of order: %+v", p)
		}
		// By definition: at the lower limit so many or more have half of what the confidence leaves.
		if k > 0 {
			test, err := interval.CompareWithTarget(k, n, p.OneSidedLower, 1-c)
			if err == nil && math.Abs(test.AtLeast-(1-c)) > 1e-9 {
				t.Fatalf("P(X ≥ %d) at %g is %g, want %g", k, p.OneSidedLower, test.AtLeast, 1-c)
			}
		}
	})
}

func TestClopperPearsonRefuses(t *testing.T) {
	for _, c := range []struct {
		k, n       int
		confidence float64
		want       string
	}{
		{1, 0, 0.95, "trials is 0, expected a count from 1 to 1000000"},
		{5, 4, 0.95, "in_tolerance is 5, expected a count from 0 to the 4 trials"},
		{-1, 4, 0.95, "in_tolerance is -1, expected a count from 0 to the 4 trials"},
		{1, 4, 95, "confidence is 95, expected a share between 0 and 1, neither of them nor within a billionth of one; mend: write 95 % as 0.95"},
		{1, 4, math.NaN(), "confidence is NaN, expected a share between 0 and 1, neither of them nor within a billionth of one; mend: write 95 % as 0.95"},
	} {
		_, err := interval.ClopperPearson(c.k, c.n, c.confidence)
		var input *interval.InputError
		if !errors.As(err, &input) || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}
