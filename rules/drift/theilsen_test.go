package drift_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/drift"
)

func robust(t *testing.T, x, y []float64, level float64) drift.RobustLine {
	t.Helper()
	return robustBy(t, drift.TheilSen, x, y, level)
}

func robustBy(t *testing.T, fit func(x, y []float64, level float64) (drift.RobustLine, error), x, y []float64, level float64) drift.RobustLine {
	t.Helper()
	r, err := fit(x, y, level)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The example of Sen (1968): slope 4, interval 3.71 … 4.38 (26/7 … 35/8) at 93 %. The median residual is 0 for the
// intercept 6. By the exact distribution the fifth slope from either end will do, 3.75 and 46/11: 174 of 5040
// permutations have 4 inversions or fewer.
func TestSenExample(t *testing.T) {
	r := robust(t, []float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78}, 0.93)
	if r.Slope != 4 || r.Intercept != 6 || r.Pairs != 21 {
		t.Errorf("%+v", r)
	}
	near(t, "lower", value(t, "lower", r.Lower), 26.0/7, 1e-15)
	near(t, "upper", value(t, "upper", r.Upper), 35.0/8, 1e-15)
	exact := robustBy(t, drift.TheilSenExact, []float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78}, 0.93)
	near(t, "exact lower", value(t, "lower", exact.Lower), 3.75, 1e-15)
	near(t, "exact upper", value(t, "upper", exact.Upper), 46.0/11, 1e-15)
}

// Which slope, counted from either end, bounds the interval. The exact chances are those of Kendall (1970),
// Rank Correlation Methods, appendix table 1 (from memory): n = 4, S ≥ 6: 0.042; 5, 10: 0.0083; 8, 18: 0.016; 10, 23:
// 0.023. Otherwise (N − z·σ)/2 by hand: σ² = 60·59·125/18, and 30·2·1·9/18 less for 30 pairs of equal x.
func TestRankOfTheInterval(t *testing.T) {
	for _, c := range []struct {
		n, perDay int
		level     float64
		rank      int
		exact     bool
	}{
		{4, 1, 0.95, 0, true},
		{4, 1, 1 - 2.0/24, 1, true},
		{5, 1, 0.95, 1, true},
		{5, 1, 1 - 2*5.0/120, 2, true},
		{8, 1, 0.95, 6, true},
		{10, 1, 0.95, 12, true},
		{5, 1, 0.95, 0, false},
		{6, 1, 0.95, 2, false},
		{10, 1, 0.95, 11, false},
		{60, 1, 0.95, 731, false},
		{60, 2, 0.95, 716, false},
	} {
		x, y := make([]float64, c.n), make([]float64, c.n)
		var slopes []float64
		for i := range c.n {
			x[i], y[i] = float64(i/c.perDay), math.Exp(float64(i)/9)
			for j := range i {
				if x[i] != x[j] {
					slopes = append(slopes, (y[i]-y[j])/(x[i]-x[j]))
				}
			}
		}
		slices.Sort(slopes)
		by := drift.TheilSen
		if c.exact {
			by = drift.TheilSenExact
		}
		r := robustBy(t, by, x, y, c.level)
		if r.Pairs != len(slopes) {
			t.Errorf("n = %d: %d pairs", c.n, r.Pairs)
		}
		if c.rank == 0 {
			lacks(t, "interval of too few", r.Lower, r.Upper)
			continue
		}
		if *r.Lower.Value != slopes[c.rank-1] || *r.Upper.Value != slopes[len(slopes)-c.rank] {
			t.Errorf("n = %d, level %g: bounded by slope %d, want %d", c.n, c.level, slices.Index(slopes, *r.Lower.Value)+1, c.rank)
		}
	}
}

// With heavy tails and with readings two a day the interval holds the slope about as often as it says; binomial standard
// deviation 0.7 of 100 for 1000 cases.
func TestRobustIntervalHolds(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	const cases = 1000
	held := 0
	x, y := make([]float64, 24), make([]float64, 24)
	for range cases {
		for i := range x {
			x[i] = float64(i / 2)
			y[i] = 0.3*x[i] + random.NormFloat64()/max(0.1, random.Float64())
		}
		r := robust(t, x, y, 0.95)
		if *r.Lower.Value <= 0.3 && 0.3 <= *r.Upper.Value {
			held++
		}
	}
	near(t, "share held", float64(held)/cases, 0.955, 0.02)
}

// One wild point in ten moves the median slope by less than the least-squares slope, and not at all if the rest is exact.
func TestOneWildPoint(t *testing.T) {
	x, y := make([]float64, 10), make([]float64, 10)
	for i := range x {
		x[i], y[i] = float64(i), 2*float64(i)+1
	}
	y[9] = 1000
	r := robust(t, x, y, 0.95)
	if r.Slope != 2 || r.Intercept != 1 {
		t.Errorf("%+v", r)
	}
}

// A line added to the values is added to slope, interval and, without rounding, intercept.
func TestTheilSenAddingALine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(5, 30).Draw(r, "n")
		b := float64(rapid.IntRange(-50, 50).Draw(r, "b"))
		x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(rapid.IntRange(0, 9).Draw(r, "x"))
			y[i] = float64(rapid.IntRange(-100, 100).Draw(r, "y"))
		}
		x[0] = 10
		for i := range n {
			z[i] = y[i] + b*x[i] + 7
		}
		a, c := robust(t, x, y, 0.8), robust(t, x, z, 0.8)
		near(t, "slope", c.Slope, a.Slope+b, 1e-10)
		near(t, "intercept", c.Intercept, a.Intercept+7, 1e-9)
		if a.Lower.Value == nil {
			return
		}
		near(t, "lower", *c.Lower.Value, *a.Lower.Value+b, 1e-10)
		if *a.Lower.Value > a.Slope || *a.Upper.Value < a.Slope {
			t.Errorf("slope %v outside its interval %v, %v", a.Slope, *a.Lower.Value, *a.Upper.Value)
		}
	})
}

func TestTheilSenRefuses(t *testing.T) {
	_, err := drift.TheilSen([]float64{1, 2}, []float64{1, 2}, 0.95)
	refused(t, err, "2 points, expected at least 3; take more readings")
	_, err = drift.TheilSen([]float64{1, 1, 1}, []float64{1, 2, 3}, 0.95)
	refused(t, err, "x is 1 for all 3 points, expected at least two different values")
	_, err = drift.TheilSen([]float64{1, 2, 3}, []float64{1, 2, 3}, 0)
	refused(t, err, "level 0, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
	_, err = drift.TheilSen(make([]float64, 5001), make([]float64, 5001), 0.95)
	refused(t, err, "5001 points, expected at most 5000; use the latest of them")
	_, err = drift.TheilSenExact([]float64{1, 2, 2}, []float64{1, 2, 3}, 0.95)
	refused(t, err, "3 points at 2 different x, expected at most 50 points, all at different x; use the approximation")
	_, err = drift.TheilSen([]float64{0, 1e-30, 1}, []float64{0, 1e30, 1}, 0.95)
	refused(t, err, "the slope from the points at index 0 and 1 is 1e+60, expected a finite number of at most 1e40 in magnitude; check where it came from")
}

func BenchmarkTheilSen2000(b *testing.B) {
	random := rand.New(rand.NewPCG(5, 6))
	x, y := make([]float64, 2000), make([]float64, 2000)
	for i := range x {
		x[i], y[i] = float64(i), random.NormFloat64()
	}
	for b.Loop() {
		if _, err := drift.TheilSen(x, y, 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
