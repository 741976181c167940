package interval_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/interval"
)

func value(t *testing.T, what string, f interval.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Errorf("%s is absent: %s", what, f.Reason)
		return math.NaN()
	}
	return *f.Value
}

func missing(t *testing.T, what string, f interval.Figure) {
	t.Helper()
	if f.Value != nil || f.Reason == "" {
		t.Errorf("%s: want a reason and no value, got %v, %q", what, f.Value, f.Reason)
	}
}

func target(t *testing.T, groups []interval.Group, share, confidence float64) interval.TargetInterval {
	t.Helper()
	fit, err := interval.FitExponential(groups)
	if err != nil {
		t.Fatal(err)
	}
	got, err := fit.IntervalFor(share, confidence)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// Closed form t·ln R*/ln R̂ in double precision.
func TestOneInterval(t *testing.T) {
	for _, c := range []struct{ months, observed, target, want float64 }{
		{12, 0.90, 0.95, 5.842032},
		{12, 0.90, 0.85, 18.510038},
		{12, 0.96, 0.95, 15.078135},
	} {
		got, err := interval.OneInterval(c.months, c.observed, c.target)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "months", value(t, "months", got), c.want, 5e-7)
	}
	for _, observed := range []float64{0, 1} {
		got, err := interval.OneInterval(12, observed, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		missing(t, "months", got)
	}
	for _, observed := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := interval.OneInterval(12, observed, 0.95); err == nil {
			t.Errorf("observed %g was accepted", observed)
		}
	}
}

// A constructed case; estimates by maximum likelihood in R 4.2 or SciPy, limits by summing the binomial laws in Python 3 (math.comb)
// and bisection.
func TestSeveralIntervals(t *testing.T) {
	groups := []interval.Group{{3, 20, 20}, {6, 30, 28}, {12, 40, 35}, {24, 10, 7}}
	fit, err := interval.FitExponential(groups)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", value(t, "rate", fit.RatePerMonth), 0.011291384, 5e-10)
	near(t, "standard error", value(t, "standard error", fit.StandardError), 0.00357542, 1e-8)
	// The optimiser stopped at its own tolerance: the figure for 0.90 is 9.331054 with the root of the score.
	for share, want := range map[float64]float64{0.95: 4.542693, 0.90: 9.331053, 0.85: 14.393180} {
		near(t, "months", value(t, "months", target(t, groups, share, 0.95).Months), want, 1.1e-6)
	}
	got := target(t, groups, 0.95, 0.95)
	near(t, "lower", value(t, "lower", got.LowerMonths), 2.485076078, 1e-8)
	near(t, "upper", value(t, "upper", got.UpperMonths), 9.624576925, 1e-8)
	near(t, "one-sided lower", value(t, "one-sided lower", got.OneSidedLowerMonths), 2.695026135, 1e-8)
	near(t, "one-sided upper", value(t, "one-sided upper", got.OneSidedUpperMonths), 8.506089032, 1e-8)
}

// With one length of interval the limits are the Clopper–Pearson limits carried through t·ln R*/ln R, and splitting a group
// must not matter.
func TestOneLengthGivesClopperPearson(t *testing.T) {
	p, err := interval.ClopperPearson(45, 50, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	at := func(share float64) float64 { return 12 * math.Log(0.95) / math.Log(share) }
	for _, groups := range [][]interval.Group{{{12, 50, 45}}, {{12, 20, 17}, {12, 30, 28}}, {{12, 20, 17}, {12 * (1 + 1e-13), 30, 28}}} {
		got := target(t, groups, 0.95, 0.95)
		near(t, "months", value(t, "months", got.Months), at(0.9), 1e-9)
		near(t, "lower", value(t, "lower", got.LowerMonths), at(p.Lower), 1e-9)
		near(t, "upper", value(t, "upper", got.UpperMonths), at(p.Upper), 1e-9)
		near(t, "one-sided lower", value(t, "one-sided lower", got.OneSidedLowerMonths), at(p.OneSidedLower), 1e-9)
	}
}

func TestAllInAndAllOut(t *testing.T) {
	all := target(t, []interval.Group{{12, 20, 20}}, 0.95, 0.95)
	missing(t, "months", all.Months)
	missing(t, "upper", all.UpperMonths)
	missing(t, "one-sided upper", all.OneSidedUpperMonths)
	// 20 of 20 show 0.860892 one-sided, that is 12·ln 0.95/ln 0.860892.
	near(t, "one-sided lower", value(t, "one-sided lower", all.OneSidedLowerMonths), 12*math.Log(0.95)/math.Log(math.Pow(0.05, 0.05)), 1e-9)
	// All in tolerance at two lengths: e^(−λ·(20·12 + 10·6)) = 0.05.
	two := target(t, []interval.Group{{12, 20, 20}, {6, 10, 10}}, 0.95, 0.95)
	near(t, "two lengths", value(t, "two lengths", two.OneSidedLowerMonths), 300*math.Log(0.95)/math.Log(0.05), 1e-9)

	none := target(t, []interval.Group{{12, 3, 0}}, 0.95, 0.95)
	missing(t, "months", none.Months)
	missing(t, "lower", none.LowerMonths)
	// At the upper limit of the share, 1 − 0.025^(1/3).
	near(t, "upper", value(t, "upper", none.UpperMonths), 12*math.Log(0.95)/math.Log(1-math.Cbrt(0.025)), 1e-9)

	fit, err := interval.FitExponential([]interval.Group{{12, 20, 20}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", value(t, "rate", fit.RatePerMonth), 0, 0)
	missing(t, "standard error", fit.StandardError)
}

func TestFitRefuses(t *testing.T) {
	for want, groups := range map[string][]interval.Group{
		"groups is empty":                     nil,
		"groups[1].months is 0":               {{12, 1, 1}, {0, 1, 1}},
		"in_tolerance is 2":                   {{12, 1, 2}},
		"trials is 5001":                      {{12, 5001, 1}},
		"groups is 6000 outcomes, expected a": {{12, 3000, 1}, {6, 3000, 1}},
	} {
		if _, err := interval.FitExponential(groups); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %s …", err, want)
		}
	}
}

// The estimate solves its equation, scales with the unit of time, and every figure is finite and in order.
func TestFitLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var groups, doubled []interval.Group
		for range rapid.IntRange(1, 4).Draw(t, "groups") {
			n := rapid.IntRange(1, 30).Draw(t, "n")
			g := interval.Group{Months: rapid.Float64Range(0.1, 120).Draw(t, "months"), Trials: n, InTolerance: rapid.IntRange(0, n).Draw(t, "k")}
			groups = append(groups, g)
			g.Months *= 2
			doubled = append(doubled, g)
		}
		fit, err := interval.FitExponential(groups)
		if err != nil {
			t.Fatal(err)
		}
		got, err := fit.IntervalFor(0.9, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		twice, err := interval.FitExponential(doubled)
		if err != nil {
			t.Fatal(err)
		}
		long, err := twice.IntervalFor(0.9, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range [][2]interval.Figure{
			{got.Months, long.Months},
			{got.LowerMonths, long.LowerMonths},
			{got.UpperMonths, long.UpperMonths},
			{got.OneSidedLowerMonths, long.OneSidedLowerMonths},
			{got.OneSidedUpperMonths, long.OneSidedUpperMonths},
		} {
			if (f[0].Value == nil) != (f[1].Value == nil) || (f[0].Value == nil) != (f[0].Reason != "") {
				t.Fatalf("absent in one unit of time only: %+v", f)
			}
			if f[0].Value != nil && !(math.Abs(2**f[0].Value / *f[1].Value - 1) < 1e-9) {
				t.Fatalf("%g months became %g at double time", *f[0].Value, *f[1].Value)
			}
		}
		if got.LowerMonths.Value != nil && got.UpperMonths.Value != nil &&
			!(0 < *got.LowerMonths.Value && *got.LowerMonths.Value < *got.OneSidedLowerMonths.Value &&
				*got.OneSidedLowerMonths.Value < *got.OneSidedUpperMonths.Value && *got.OneSidedUpperMonths.Value < *got.UpperMonths.Value) {
			t.Fatalf("limits out of order: %+v", got)
		}
		if got.Months.Value != nil {
			sum := 0.0
			for _, g := range groups {
				r := math.Exp(-*fit.RatePerMonth.Value * g.Months)
				sum += g.Months * (float64(g.Trials-g.InTolerance)*r/(1-r) - float64(g.InTolerance)) // derivative of the log-likelihood
			}
			if math.Abs(sum) > 1e-6*float64(fit.Trials)*120 {
				t.Fatalf("derivative %g at the estimate", sum)
			}
		}
	})
}
