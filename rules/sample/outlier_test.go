package sample_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/sample"
)

func uranium() []float64 {
	return []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
}

// e-Handbook 1.3.5.17.1: G = 2.4687 (the source cuts 2.468765 off) and the critical value 2.032 of the test for the
// largest value at 0.05. The other critical values follow from the formula there, recomputed in
// another program; G of the smallest is (206.43375 - 199.31)/15.852564.
func TestGrubbsUranium(t *testing.T) {
	for _, c := range []struct {
		side      sample.Side
		suspect   sample.Extreme
		g, within float64
		critical  float64
		digits    float64
		outlier   bool
	}{
		{sample.LargestSide, sample.Extreme{Index: 7, Value: 245.57}, 2.4687, 1e-4, 2.032, 5e-4, true},
		{sample.LargestSide, sample.Extreme{Index: 7, Value: 245.57}, 2.468765, 5e-7, 2.031652, 5e-7, true},
		{sample.EitherSide, sample.Extreme{Index: 7, Value: 245.57}, 2.468765, 5e-7, 2.126645, 5e-7, true},
		{sample.SmallestSide, sample.Extreme{Index: 0, Value: 199.31}, 0.449375, 5e-7, 2.031652, 5e-7, false},
	} {
		got, err := sample.Grubbs(uranium(), c.side, 0.05)
		if err != nil {
			t.Fatal(err)
		}
		if got.Suspect != c.suspect || got.Outlier != c.outlier {
			t.Errorf("%s: suspect %v, outlier %v", c.side, got.Suspect, got.Outlier)
		}
		near(t, string(c.side)+" G", value(t, "G", got.Statistic), c.g, c.within)
		near(t, string(c.side)+" critical", got.Critical, c.critical, c.digits)
	}
}

// Grubbs and Beck (1972), Technometrics 14, 847–854, table 1, one-sided (from memory, as reprinted in ASTM E178); for 5 values
// and 5 % reprints have 1.671 or 1.672.
func TestGrubbsCriticalValues(t *testing.T) {
	for _, c := range []struct {
		n              int
		five, one, mil float64 // upper 5 %, 1 %, 0.1 %
	}{
		{3, 1.153, 1.155, 1.155},
		{4, 1.463, 1.492, 1.499},
		{5, 1.6715, 1.749, 1.780},
		{10, 2.176, 2.410, 2.606},
		{20, 2.557, 2.884, 3.230},
		{30, 2.745, 3.103, 3.507},
	} {
		values := make([]float64, c.n)
		for i := range values {
			values[i] = float64(i)
		}
		for alpha, want := range map[float64]float64{0.05: c.five, 0.01: c.one, 0.001: c.mil} {
			got, err := sample.Grubbs(values, sample.LargestSide, alpha)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "critical value", got.Critical, want, 5.1e-4)
		}
	}
}

// For 3 values Student's t has 1 degree of freedom and for 4 values 2: closed forms of the quantile.
func TestGrubbsClosedForms(t *testing.T) {
	const alpha = 1e-6
	three, _ := sample.Grubbs([]float64{1, 2, 4}, sample.EitherSide, alpha)
	tan := 1 / math.Tan(math.Pi*alpha/6)
	near(t, "n = 3", three.Critical, 2/math.Sqrt(3)*tan/math.Sqrt(1+tan*tan), 1e-14)
	four, _ := sample.Grubbs([]float64{1, 2, 4, 8}, sample.LargestSide, alpha)
	p := alpha / 4
	two := (1 - 2*p) / math.Sqrt(2*p*(1-p))
	near(t, "n = 4", four.Critical, 1.5*two/math.Sqrt(2+two*two), 1e-14)
}

// From 1003 values the critical value comes from an expansion; it must follow on smoothly, and far out it must stay near
// the normal quantile: 6.70602 standard deviations for 1e-11, here a little less because the value itself is in s.
func TestGrubbsManyValues(t *testing.T) {
	critical := func(n int) float64 {
		values := make([]float64, n)
		for i := range values {
			values[i] = float64(i % 7)
		}
		got, err := sample.Grubbs(values, sample.LargestSide, 1e-6)
		if err != nil {
			t.Fatal(err)
		}
		return got.Critical
	}
	a, b, c, d := critical(1001), critical(1002), critical(1003), critical(1004)
	near(t, "third difference at the change of method", d-3*c+3*b-a, 0, 1e-8)
	near(t, "100 000 values", critical(100000), 6.70602*(1+(6.70602*6.70602+1)/4e5)/math.Sqrt(1+6.70602*6.70602/1e5), 5e-5)
}

// e-Handbook 1.3.5.17.3: Rosner's 54 values, at most 10 outliers at 0.05: three found. The handbook prints three
// decimals; six recomputed in another program.
func TestRosnerTable(t *testing.T) {
	got, err := sample.Rosner(column(t, "rosner.csv", 0), 10, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	want := [][2]float64{
		{3.118906, 3.158794},
		{2.942973, 3.151430},
		{3.179424, 3.143890},
		{2.810181, 3.136165},
		{2.815580, 3.128247},
		{2.848172, 3.120128},
		{2.279327, 3.111796},
		{2.310366, 3.103243},
		{2.101581, 3.094456},
		{2.067178, 3.085425},
	}
	if len(got.Steps) != len(want) {
		t.Fatalf("%d steps", len(got.Steps))
	}
	for i, w := range want {
		near(t, "R", value(t, "R", got.Steps[i].Statistic), w[0], 5.1e-7)
		near(t, "λ", got.Steps[i].Critical, w[1], 5.1e-7)
		if got.Steps[i].Outlier != (i == 2) {
			t.Errorf("step %d beyond its own critical value: %v", i+1, got.Steps[i].Outlier)
		}
	}
	if len(got.Outliers) != 3 || got.Outliers[0] != (sample.Extreme{Index: 53, Value: 6.01}) ||
		got.Outliers[1].Value != 5.42 || got.Outliers[2].Value != 5.34 || got.Reservation != "" {
		t.Errorf("outliers %v, reservation %q", got.Outliers, got.Reservation)
	}
}

// The places of the outliers are those in the sample as given, whatever was removed before.
func TestRosnerPlaces(t *testing.T) {
	got, err := sample.Rosner([]float64{3, 90, 1, 4, 1, -70, 5, 9, 2, 6, 5, 3, 60, 5, 8, 9}, 4, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	want := []sample.Extreme{{Index: 1, Value: 90}, {Index: 5, Value: -70}, {Index: 12, Value: 60}}
	if diff := cmp.Diff(want, got.Outliers); diff != "" {
		t.Error(diff)
	}
}

func TestOutliersOfConstantsAndOfRounding(t *testing.T) {
	a, b := 0.1, 0.2
	for _, values := range [][]float64{{5, 5, 5, 5}, {0.3, 0.3, 0.3, a + b}} {
		one, err := sample.Grubbs(values, sample.EitherSide, 0.05)
		if err != nil {
			t.Fatal(err)
		}
		lacks(t, "G", one.Statistic)
		if one.Outlier {
			t.Errorf("%v: rounding is called an outlier", values)
		}
	}
	got, err := sample.Rosner([]float64{5, 5, 9, 5, 5, 5, 5}, 3, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	const want = "the search ended after 1 of 3 suspects: the 6 values left are all the same"
	if len(got.Steps) != 1 || len(got.Outliers) != 1 || got.Outliers[0] != (sample.Extreme{Index: 2, Value: 9}) || got.Reservation != want {
		t.Errorf("%+v", got)
	}
}

func TestOutlierTestsRefuse(t *testing.T) {
	three := []float64{1, 2, 4}
	refused := func(err error, want string) {
		t.Helper()
		if err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	_, err := sample.Grubbs(three[:2], sample.EitherSide, 0.05)
	refused(err, "2 values, expected at least 3; take more readings")
	_, err = sample.Grubbs(three, "both", 0.05)
	refused(err, `side "both", expected "either", "largest" or "smallest"`)
	_, err = sample.Grubbs(three, sample.EitherSide, 5)
	refused(err, "significance level 5, expected 0.000001 to 0.5; state it as a fraction, 0.05 for 5 %")
	_, err = sample.Rosner(three, 2, 0.05)
	refused(err, "a search for up to 2 outliers among 3 values, expected 1 to 1")
	_, err = sample.Rosner(three, 1, math.NaN())
	refused(err, "significance level NaN, expected 0.000001 to 0.5; state it as a fraction, 0.05 for 5 %")
	_, err = sample.Rosner(three[:2], 1, 0.05)
	refused(err, "2 values, expected at least 3; take more readings")
	got, err := sample.Rosner([]float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16}, 1, 0.05)
	if err != nil || got.Reservation != "the critical values are only reasonably accurate for 16 values; they are very accurate from 25" {
		t.Errorf("%v, %v", got, err)
	}
}
