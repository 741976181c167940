package sample_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/published"
	"plumbrule/rules/sample"
)

func column(t *testing.T, name string, at int) []float64 {
	t.Helper()
	rows, err := published.Table(name)
	if err != nil {
		t.Fatal(err)
	}
	out, err := published.Column(name, rows[0][at])
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.16g, want %.16g within %g", what, got, want, tolerance)
	}
}

func value(t *testing.T, what string, f sample.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Fatalf("%s is absent: %s", what, f.Reason)
	}
	return *f.Value
}

func lacks(t *testing.T, what string, f sample.Figure) {
	t.Helper()
	if f.Value != nil || f.Reason == "" {
		t.Errorf("%s: got %v, want none with a reason", what, f)
	}
}

func summary(t *testing.T, values []float64) sample.Summary {
	t.Helper()
	s, err := sample.Summarise(values)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// NIST StRD, univariate summary statistics: the certified values, printed to 15 digits. For NumAcc4 the decimal values
// cannot be held by a double exactly, which leaves 8 digits of the spread.
func TestCertifiedValues(t *testing.T) {
	for _, c := range []struct {
		name              string
		values            []float64
		n                 int
		mean, sd, lag1    float64
		ofSpread, ofLevel float64 // relative tolerances
	}{
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 3, 10000002, 1, -0.5, 1e-15, 1e-15},
		{"NumAcc2", column(t, "numacc2.csv", 0), 1001, 1.2, 0.1, -0.999, 1e-13, 1e-15},
		{"NumAcc4", column(t, "numacc4.csv", 0), 1001, 10000000.2, 0.1, -0.999, 1e-8, 1e-15},
		{"Lew", column(t, "lew.csv", 0), 200, -177.435, 277.332168044316, -0.307304800605679, 2e-15, 1e-15},
		{"Lottery", column(t, "lottery.csv", 0), 218, 518.958715596330, 291.699727470969, -0.120948622967393, 2e-15, 1e-15},
		{"PiDigits", column(t, "pidigits.csv", 0), 5000, 4.5348, 2.86733906028871, -0.00355099287237972, 2e-15, 1e-15},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := summary(t, c.values)
			if s.N != c.n {
				t.Errorf("%d values, want %d", s.N, c.n)
			}
			near(t, "mean", s.Mean, c.mean, c.ofLevel*math.Abs(c.mean))
			near(t, "sd", value(t, "sd", s.SD), c.sd, c.ofSpread*c.sd)
			near(t, "autocorrelation", value(t, "autocorrelation", s.Autocorrelation), c.lag1, max(c.ofSpread, 5e-15)*math.Abs(c.lag1))
		})
	}
}

// e-Handbook 2.3.5.2, kilogram check standard: the baseline is what was measured before 1985. The handbook prints
// 0.03065 mg for the standard deviation; the further digits, and the limits of three standard deviations beyond which
// two later values lie, were recomputed in another program.
func TestKilogramCheckStandard(t *testing.T) {
	dates, values := column(t, "mass-check-standard.csv", 0), column(t, "mass-check-standard.csv", 1)
	baseline := 0
	for dates[baseline] < 85 {
		baseline++
	}
	s := summary(t, values[:baseline])
	sd := value(t, "sd", s.SD)
	lower, upper := s.Mean-3*sd, s.Mean+3*sd
	if s.N != 99 {
		t.Errorf("baseline of %d, want 99", s.N)
	}
	near(t, "mean", s.Mean, -19.478510, 5e-7)
	near(t, "sd", sd, 0.03065, 5e-6)
	near(t, "sd", sd, 0.030652, 5e-7)
	near(t, "lower limit", lower, -19.570467, 5e-7)
	near(t, "upper limit", upper, -19.386553, 5e-7)
	near(t, "half-width at t(0.975; 98)", 1.984467*sd, 0.060828, 5e-7)
	var beyond []float64
	for i, v := range values[baseline:] {
		if v < lower || v > upper {
			beyond = append(beyond, dates[baseline+i])
		}
	}
	if len(beyond) != 2 || beyond[0] != 86.511 || beyond[1] != 87.016 {
		t.Errorf("beyond at %v, want 86.511 and 87.016", beyond)
	}
}

func TestShortAndConstantSamples(t *testing.T) {
	one := summary(t, []float64{4.2})
	lacks(t, "sd of one", one.SD)
	lacks(t, "autocorrelation of one", one.Autocorrelation)
	if one.Mean != 4.2 || one.Smallest != (sample.Extreme{Value: 4.2}) || one.Largest != one.Smallest {
		t.Errorf("one value: %+v", one)
	}
	same := summary(t, []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1})
	if same.Mean != 0.1 || value(t, "sd", same.SD) != 0 {
		t.Errorf("constant: mean %v, sd %v", same.Mean, *same.SD.Value)
	}
	lacks(t, "autocorrelation of a constant", same.Autocorrelation)
	// 0.1 + 0.2 differs from 0.3 in the last bit only.
	a, b := 0.1, 0.2
	rounded := summary(t, []float64{0.3, a + b, 0.3, 0.3})
	lacks(t, "autocorrelation of rounding", rounded.Autocorrelation)
	two := summary(t, []float64{3, 1})
	near(t, "autocorrelation of two", value(t, "lag 1", two.Autocorrelation), -0.5, 0)
	if ties := summary(t, []float64{1, 2, 2, 1}); ties.Smallest.Index != 0 || ties.Largest.Index != 1 {
		t.Errorf("of equal values not the first: %v, %v", ties.Smallest, ties.Largest)
	}
	if two.Smallest != (sample.Extreme{Index: 1, Value: 1}) || two.Largest != (sample.Extreme{Index: 0, Value: 3}) {
		t.Errorf("extremes %v, %v", two.Smallest, two.Largest)
	}
}

// √2·c/2 is the standard deviation of 0 and c.
func TestVeryLargeAndVerySmallValues(t *testing.T) {
	for _, c := range []float64{1e290, 1e200, 1e-200, 1e-300} {
		s := summary(t, []float64{0, c})
		near(t, "sd", value(t, "sd", s.SD)/c, math.Sqrt2/2, 1e-15)
		near(t, "mean", s.Mean/c, 0.5, 1e-15)
	}
}

func TestRefusesWhatIsNoSample(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   string
	}{
		{nil, "0 values, expected at least 1; take more readings"},
		{[]float64{1, math.NaN()}, "value NaN at index 1, expected a finite number of at most 1e290 in magnitude; check where it came from"},
		{[]float64{math.Inf(-1)}, "value -Inf at index 0, expected a finite number of at most 1e290 in magnitude; check where it came from"},
		{[]float64{1e291}, "value 1e+291 at index 0, expected a finite number of at most 1e290 in magnitude; check where it came from"},
	} {
		if _, err := sample.Summarise(c.values); err == nil || err.Error() != c.want {
			t.Errorf("%v: got %v, want %s", c.values, err, c.want)
		}
	}
}

// An offset of whole numbers moves the mean and nothing else; doubling doubles mean and spread; reversing the order
// changes nothing at all.
func TestSummaryLaws(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		whole := rapid.SliceOfN(rapid.Int32Range(-1000, 1000), 2, 40).Draw(r, "values")
		offset := float64(rapid.Int32Range(-1e6, 1e6).Draw(r, "offset"))
		n := len(whole)
		x, moved, back := make([]float64, n), make([]float64, n), make([]float64, n)
		for i, w := range whole {
			x[i] = float64(w)
			moved[i] = 2*x[i] + offset
			back[n-1-i] = x[i]
		}
		a, b, c := summary(t, x), summary(t, moved), summary(t, back)
		near(t, "mean moved", b.Mean, 2*a.Mean+offset, 1e-9)
		near(t, "sd moved", *b.SD.Value, 2**a.SD.Value, 1e-9)
		near(t, "sd reversed", *c.SD.Value, *a.SD.Value, 1e-9)
		if a.Autocorrelation.Value == nil {
			return
		}
		near(t, "lag 1 moved", *b.Autocorrelation.Value, *a.Autocorrelation.Value, 1e-9)
		near(t, "lag 1 reversed", *c.Autocorrelation.Value, *a.Autocorrelation.Value, 1e-9)
		if math.Abs(*a.Autocorrelation.Value) > 1 {
			t.Errorf("lag 1 of %v is %v", x, *a.Autocorrelation.Value)
		}
	})
}
