package drift_test

import (
	"math"
	"testing"

	"plumbrule/rules/drift"
	"plumbrule/rules/published"
)

// e-Handbook 2.3.7.1: calibration, control data and the points beyond; the limits ±0.14148 recomputed in another program.
func TestControlOfALinewidthCalibration(t *testing.T) {
	c := drift.Calibration{Intercept: 0.2817, Slope: 0.9767, ResidualSD: 0.06826, DF: 38}
	half, err := c.Limit(0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "limit", half, 0.14148, 5.1e-6)
	rows, err := published.Table("linewidth-control.csv")
	if err != nil {
		t.Fatal(err)
	}
	x, y := columns(t, "linewidth-control.csv", 2)
	beyond := map[string]float64{"1U": 0.1489, "4L": -0.2703, "4M": 0.2610, "4U": 0.3434}
	for i, row := range rows[1:] {
		got, err := c.Check(x[i], y[i], 0.95)
		if err != nil {
			t.Fatal(err)
		}
		want, is := beyond[row[0]+row[1]]
		if got.Beyond != is {
			t.Errorf("day %s %s: beyond %v, statistic %v", row[0], row[1], got.Beyond, got.Statistic)
		}
		if is {
			near(t, "day "+row[0]+" "+row[1], got.Statistic, want, 5.1e-5)
		}
		near(t, "lower limit", got.Lower, -half, 0)
		near(t, "upper limit", got.Upper, half, 0)
	}
	// A falling line has the same limits.
	c.Slope = -c.Slope
	falling, err := c.Limit(0.95)
	if err != nil || falling != half {
		t.Errorf("falling line: %v, %v", falling, err)
	}
}

func TestCalibrationRefuses(t *testing.T) {
	good := drift.Calibration{Intercept: 0, Slope: 1, ResidualSD: 0.1, DF: 5}
	for _, c := range []struct {
		change func(*drift.Calibration)
		want   string
	}{
		{func(c *drift.Calibration) { c.Slope = 0 }, "slope is 0, expected a line that rises or falls; a level line tells no reading from another"},
		{func(c *drift.Calibration) { c.ResidualSD = 0 }, "residual standard deviation is 0, expected above 0; limits without width control nothing"},
		{func(c *drift.Calibration) { c.DF = 0 }, "degrees of freedom are 0, expected at least 1; it takes 3 points to fit a line with scatter"},
		{func(c *drift.Calibration) { c.Intercept = math.NaN() }, "intercept is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from"},
		{func(c *drift.Calibration) { c.Slope, c.ResidualSD = 1e-30, 1e30 }, "the control limit is 2.57058e+60, expected a finite number of at most 1e40 in magnitude; check where it came from"},
	} {
		bad := good
		c.change(&bad)
		_, err := bad.Check(1, 1, 0.95)
		refused(t, err, c.want)
	}
	_, err := good.Check(1, 1, 2)
	refused(t, err, "level 2, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %")
	_, err = good.Check(1, math.NaN(), 0.95)
	refused(t, err, "y at index 0 is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from")
}
