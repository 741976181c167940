package drift_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/drift"
)

// NIST StRD, linear regression, Norris: certified values.
func TestNorris(t *testing.T) {
	x, y := columns(t, "norris.csv", 0)
	l := fit(t, x, y)
	if l.N != 36 || l.Exact {
		t.Errorf("%d points, exact %v", l.N, l.Exact)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"intercept", l.Intercept, -0.262323073774029},
		{"its standard error", l.InterceptSE, 0.232818234301152},
		{"slope", l.Slope, 1.00211681802045},
		{"its standard error", l.SlopeSE, 0.429796848199937e-3},
		{"residual sd", l.ResidualSD, 0.884796396144373},
		{"R²", value(t, "R²", l.RSquared), 0.999993745883712},
		{"residual sum of squares", l.ResidualSD * l.ResidualSD * 34, 26.6173985294224},
	} {
		near(t, c.what, c.got, c.want, 1e-12*math.Abs(c.want))
	}
}

// e-Handbook 2.3.6.7.3, linewidth calibration: printed to seven digits.
func TestLinewidthCalibration(t *testing.T) {
	x, y := columns(t, "linewidth-calibration.csv", 0)
	l := fit(t, x, y)
	agrees(t, "line")
	if l.Calibration().DF != 38 {
		t.Errorf("degrees of freedom %d", l.Calibration().DF)
	}
}

// Norris at x = 500, 95 %; recomputed in another program.
func TestBandsOfNorris(t *testing.T) {
	x, y := columns(t, "norris.csv", 0)
	l := fit(t, x, y)
	confidence, err := l.Confidence(500, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	prediction, err := l.Prediction(500, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fit", confidence.Estimate, 500.796086, 5.1e-7)
	near(t, "lower confidence", value(t, "lower", confidence.Lower), 500.488196, 5.1e-7)
	near(t, "upper confidence", value(t, "upper", confidence.Upper), 501.103975, 5.1e-7)
	near(t, "lower prediction", value(t, "lower", prediction.Lower), 498.971794, 5.1e-7)
	near(t, "upper prediction", value(t, "upper", prediction.Upper), 502.620378, 5.1e-7)
}

// The line does not depend on where days are counted from, but for the digits of the days themselves.
func TestDatesCountedFromAfar(t *testing.T) {
	days, errors := steady()
	near0 := fit(t, days, errors)
	for i := range days {
		days[i] += 1.7e9
	}
	far := fit(t, days, errors)
	near(t, "slope", far.Slope, near0.Slope, 1e-15)
	near(t, "at the mean", far.AtMean, near0.AtMean, 1e-13)
	near(t, "residual sd", far.ResidualSD, near0.ResidualSD, 1e-13)
	near(t, "line", far.At(1.7e9+600), near0.At(600), 1e-12)
	near(t, "x mean", far.XMean, 1.7e9+270, 0)
}

func TestPointsInAnyOrder(t *testing.T) {
	days, errors := steady()
	want := fit(t, days, errors)
	got := fit(t, []float64{540, 0, 270, 90, 450, 180, 360}, []float64{12, 2, 7, 4, 9, 3, 8})
	near(t, "slope", got.Slope, want.Slope, 1e-15)
	near(t, "Durbin-Watson", value(t, "d", got.Residual.DurbinWatson), value(t, "d", want.Residual.DurbinWatson), 1e-12)
}

func TestDegenerateLines(t *testing.T) {
	exact := fit(t, []float64{1, 2, 4}, []float64{0.1, 0.2, 0.4})
	near(t, "slope of an exact line", exact.Slope, 0.1, 1e-15)
	if !exact.Exact || exact.ResidualSD != 0 || exact.SlopeSE != 0 {
		t.Errorf("three points on a line: %+v", exact)
	}
	near(t, "R²", value(t, "R²", exact.RSquared), 1, 0)
	lacks(t, "residuals", exact.Residual.Lag1, exact.Residual.DurbinWatson, exact.Residual.Chance)
	band, err := exact.Prediction(5, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "exact line", band.Estimate, 0.5, 1e-15)
	lacks(t, "band of an exact line", band.Lower, band.Upper)

	level := fit(t, []float64{1, 2, 4, 9}, []float64{0.7, 0.7, 0.7, 0.7})
	if !level.Exact || level.Slope != 0 || level.At(1e6) != 0.7 {
		t.Errorf("constant values: %+v", level)
	}
	lacks(t, "R² of a constant", level.RSquared)
}

func TestFitRefuses(t *testing.T) {
	for _, c := range []struct {
		x, y []float64
		want string
	}{
		{[]float64{1, 2}, []float64{1, 2}, "2 points, expected at least 3; take more readings"},
		{[]float64{1, 2, 3}, []float64{1, 2}, "3 values of x and 2 of y, expected as many of both"},
		{[]float64{7, 7, 7}, []float64{1, 2, 3}, "x is 7 for all 3 points, expected at least two different values"},
		{[]float64{0, 0, 1e-45}, []float64{1, 2, 3}, "x spans 1e-45 only, expected more than 1e-40; use a smaller unit"},
		{[]float64{1, 2, math.Inf(1)}, []float64{1, 2, 3}, "x at index 2 is +Inf, expected a finite number of at most 1e40 in magnitude; check where it came from"},
		{[]float64{1, 2, 3}, []float64{1, math.NaN(), 3}, "y at index 1 is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from"},
	} {
		_, err := drift.Fit(c.x, c.y)
		refused(t, err, c.want)
	}
	days, errors := steady()
	l := fit(t, days, errors)
	_, err := l.Prediction(600, 95)
	refused(t, err, "level 95, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
	_, err = l.Confidence(math.NaN(), 0.95)
	refused(t, err, "x is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from")
	_, err = l.SlopeBand(0.1)
	refused(t, err, "level 0.1, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
}

// Adding a straight line to the values adds it to the fit and leaves the scatter as it is.
func TestAddingALine(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(r, "n")
		a := float64(rapid.IntRange(-50, 50).Draw(r, "a"))
		b := float64(rapid.IntRange(-50, 50).Draw(r, "b"))
		x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(3 * i)
			y[i] = float64(rapid.IntRange(-100, 100).Draw(r, "y"))
			z[i] = y[i] + a + b*x[i]
		}
		l, m := fit(t, x, y), fit(t, x, z)
		near(t, "slope", m.Slope, l.Slope+b, 1e-10)
		near(t, "intercept", m.Intercept, l.Intercept+a, 1e-9)
		near(t, "residual sd", m.ResidualSD, l.ResidualSD, 1e-9)
	})
}

// Whatever is allowed in, no figure that comes out is anything but a number or a reason.
func TestNoSilentFigures(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		number := rapid.SampledFrom([]float64{0, 1e-300, 1e-39, 1e-30, 0.1, -0.1, 0.3, 1, -3, 1e10, 1e10 + 1, 1e40, -1e40})
		n := rapid.IntRange(3, 9).Draw(r, "n")
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i], y[i] = number.Draw(r, "x"), number.Draw(r, "y")
		}
		l, err := drift.Fit(x, y)
		if err != nil {
			return
		}
		at := number.Draw(r, "at")
		band, err := l.Prediction(at, 0.95)
		if err != nil {
			r.Fatal(err)
		}
		c := crossings(t, l, at, 0.95)
		for _, v := range []float64{l.Slope, l.Intercept, l.AtMean, l.XMean, l.ResidualSD, l.SlopeSE, l.InterceptSE, band.Estimate} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				r.Fatalf("%+v, %+v", l, band)
			}
		}
		for i, f := range []drift.Figure{
			l.RSquared, l.Residual.Lag1, l.Residual.DurbinWatson, l.Residual.Chance, band.Lower, band.Upper, c.Estimate,
			c.Confidence.Lower, c.Confidence.Upper, c.Prediction.Lower, c.Prediction.Upper, l.FirstOrderSE(at),
		} {
			if (f.Value == nil) == (f.Reason == "") || f.Value != nil && (math.IsNaN(*f.Value) || math.IsInf(*f.Value, 0)) {
				r.Fatalf("figure %d: %v, %q", i, f.Value, f.Reason)
			}
		}
	})
}
