package repeatability

import (
	"math"
	"testing"
)

func closeTo(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

// The special cases in which the modified large-sample limits are exact, which fix every constant in them.
func TestLargeSampleIsExactWhereItShould(t *testing.T) {
	const alpha = 0.025
	mean := func(ms float64, df int) square { return square{sum: ms * float64(df), df: df} }

	// One mean square: χ² with 8 degrees of freedom, 2.180 and 17.535 in any table.
	lower, upper := largeSample([]term{{1, mean(1, 8)}}, alpha)
	closeTo(t, "χ² lower", 8/lower, 17.535, 0.0005)
	closeTo(t, "χ² upper", 8/upper, 2.180, 0.0005)

	// A difference: a limit is 0 where F is its quantile. With 2 and m degrees of freedom F(p) = (m/2)·((1−p)^(−2/m) − 1).
	const m = 3
	for _, c := range []struct {
		p     float64
		limit func(lower, upper float64) float64
	}{
		{1 - alpha, func(lower, _ float64) float64 { return lower }},
		{alpha, func(_, upper float64) float64 { return upper }},
	} {
		f := m / 2.0 * (math.Pow(1-c.p, -2.0/m) - 1)
		closeTo(t, "limit of a difference", c.limit(largeSample([]term{{1, mean(f, 2)}, {-1, mean(1, m)}}, alpha)), 0, 1e-6)
	}

	// Two mean squares of one variance, weighted by their degrees of freedom, are one χ²; the third term is next to nothing.
	nothing := term{-1, mean(1e-12, 7)}
	lower, _ = largeSample([]term{{3, mean(1, 3)}, {5, mean(1, 5)}, nothing}, alpha)
	closeTo(t, "lower limit of a sum", 64/lower, 17.535, 0.0005)
	_, upper = largeSample([]term{{-3, mean(1, 3)}, {-5, mean(1, 5)}, {1, mean(1e-12, 7)}}, alpha)
	closeTo(t, "upper limit of a negative sum", -64/upper, 17.535, 0.0005)
}

func TestTermsGather(t *testing.T) {
	a, b := square{Part, 1, 2}, square{Operator, 1, 2}
	got := gathered([]term{{1, a}, {2, b}}, []term{{-3, b}, {0.5, a}})
	if len(got) != 2 || got[0] != (term{1.5, a}) || got[1] != (term{-1, b}) {
		t.Errorf("got %v", got)
	}
}
