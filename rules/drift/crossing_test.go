package drift_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/drift"
)

func crossings(t *testing.T, l drift.Line, limit, level float64) drift.Crossings {
	t.Helper()
	c, err := l.Crossings(limit, level)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Arsenic, Graybill and Iyer (1994); Greenwell and Schubert Kabban (2014): the x of a single reading of 3.0 and of a mean
// response of 3.0 at 90 %, by inversion and to first order.
func TestArsenic(t *testing.T) {
	x, y := columns(t, "arsenic.csv", 0)
	l := fit(t, x, y)
	near(t, "intercept", l.Intercept, 0.104583, 5.1e-7)
	near(t, "slope", l.Slope, 0.987708, 5.1e-7)
	near(t, "residual sd", l.ResidualSD, 0.187478, 5.1e-7)
	near(t, "x mean", l.XMean, 3.5, 1e-15)
	c := crossings(t, l, 3, 0.9)
	agrees(t, "inverse")
	se := value(t, "se", l.FirstOrderSE(3))
	const t30 = 1.697261 // t(0.95; 30)
	near(t, "first order, lower", *c.Estimate.Value-t30*se, 2.6040, 5.1e-5)
	near(t, "first order, upper", *c.Estimate.Value+t30*se, 3.2589, 5.1e-5)
}

// The inverse for y = 500 at 95 %; recomputed in another program.
func TestInverseOfNorris(t *testing.T) {
	x, y := columns(t, "norris.csv", 0)
	c := crossings(t, fit(t, x, y), 500, 0.95)
	near(t, "estimate", value(t, "estimate", c.Estimate), 499.205596, 5.1e-7)
	near(t, "lower", value(t, "lower", c.Prediction.Lower), 497.385244, 5.1e-7)
	near(t, "upper", value(t, "upper", c.Prediction.Upper), 501.026069, 5.1e-7)
}

// A drift towards two limits; bands and crossings recomputed in another program.
func TestDriftToALimit(t *testing.T) {
	days, errors := steady()
	l := fit(t, days, errors)
	near(t, "intercept", l.Intercept, 1.6071429, 5.1e-8)
	near(t, "slope", l.Slope, 0.017857143, 5.1e-10)
	near(t, "residual sd", l.ResidualSD, 1.0385429, 5.1e-8)
	confidence, _ := l.Confidence(600, 0.95)
	prediction, _ := l.Prediction(600, 0.95)
	near(t, "at day 600", l.At(600), 12.321429, 5.1e-7)
	near(t, "half-width of the confidence band", value(t, "upper", confidence.Upper)-confidence.Estimate, 2.1071985, 5.1e-8)
	near(t, "prediction, lower", value(t, "lower", prediction.Lower), 8.920345, 5.1e-7)
	near(t, "prediction, upper", value(t, "upper", prediction.Upper), 15.722512, 5.1e-7)
	for _, c := range []struct{ limit, line, confidence, prediction float64 }{
		{15, 750, 625.0395, 565.2464},
		{25, 1310, 1056.6657, 1024.3149},
	} {
		got := crossings(t, l, c.limit, 0.95)
		near(t, "line", value(t, "line", got.Estimate), c.line, 1e-9)
		near(t, "confidence band", value(t, "confidence", got.Confidence.Lower), c.confidence, 5.1e-5)
		near(t, "prediction band", value(t, "prediction", got.Prediction.Lower), c.prediction, 5.1e-5)
	}
}

func TestNoCrossingWithoutASlope(t *testing.T) {
	weak := fit(t, []float64{0, 90, 180, 270, 360}, []float64{2, 4, 1, 5, 3})
	c := crossings(t, weak, 15, 0.95)
	lacks(t, "bands", c.Confidence.Lower, c.Confidence.Upper, c.Prediction.Lower, c.Prediction.Upper)
	const want = "the slope, 0.00333, is not significant at 0.95: its interval, -0.0161 to 0.0228, includes 0; wait for more points"
	if c.Prediction.Lower.Reason != want {
		t.Errorf("got %s, want %s", c.Prediction.Lower.Reason, want)
	}
	near(t, "fitted line", value(t, "estimate", c.Estimate), 3780, 1e-9) // 180 + (15-3)/(0.3/90)

	level := fit(t, []float64{0, 90, 180, 270}, []float64{2, 2, 2, 2})
	c = crossings(t, level, 15, 0.95)
	lacks(t, "level line", c.Estimate, c.Confidence.Lower, c.Prediction.Lower, level.FirstOrderSE(15))

	exact := fit(t, []float64{0, 100, 200}, []float64{0, 1, 2})
	c = crossings(t, exact, 15, 0.95)
	near(t, "exact line", value(t, "estimate", c.Estimate), 1500, 1e-9)
	lacks(t, "exact line", c.Confidence.Upper, c.Prediction.Lower, exact.FirstOrderSE(15))

	_, err := weak.Crossings(math.NaN(), 0.95)
	refused(t, err, "limit is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from")
	_, err = weak.Crossings(15, 1)
	refused(t, err, "level 1, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
}

// Both ends of the inverse interval lie where an edge of the band is at the limit, either side of the estimate, whichever
// way the line goes; and a smaller level gives a shorter interval.
func TestCrossingsLieOnTheBand(t *testing.T) {
	met := 0
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(4, 15).Draw(r, "n")
		slope := float64(rapid.IntRange(-9, 9).Draw(r, "slope"))
		limit := float64(rapid.IntRange(-200, 200).Draw(r, "limit"))
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i] = float64(10 * i)
			y[i] = slope*float64(i) + float64(rapid.IntRange(-5, 5).Draw(r, "scatter"))
		}
		l := fit(t, x, y)
		c := crossings(t, l, limit, 0.95)
		if c.Prediction.Lower.Value == nil {
			return
		}
		met++
		for _, at := range []float64{*c.Prediction.Lower.Value, *c.Prediction.Upper.Value} {
			band, _ := l.Prediction(at, 0.95)
			near(t, "edge of the band at the limit", min(math.Abs(*band.Lower.Value-limit), math.Abs(*band.Upper.Value-limit)), 0,
				1e-8*(1+math.Abs(limit)+*band.Upper.Value-*band.Lower.Value))
		}
		less := crossings(t, l, limit, 0.8)
		if a, b := c.Prediction, less.Prediction; !(*a.Lower.Value < *b.Lower.Value && *b.Lower.Value < *c.Estimate.Value &&
			*c.Estimate.Value < *b.Upper.Value && *b.Upper.Value < *a.Upper.Value) {
			t.Errorf("not nested: %v, %v", c, less)
		}
	})
	if met == 0 {
		t.Error("no line met its limit")
	}
}
