package drift

import "fmt"

// Calibration is a straight calibration line y = Intercept + Slope·x from an earlier experiment, with the standard
// deviation of its residuals, in the unit of y, and their degrees of freedom.
type Calibration struct {
	Intercept, Slope, ResidualSD float64
	DF                           int
}

// CalibrationCheck is a reading on a reference, judged by a calibration line. All in the unit of x.
type CalibrationCheck struct {
	Statistic    float64 // (y − Intercept)/Slope − x: the corrected reading less the reference value
	Lower, Upper float64 // control limits, symmetrical about 0
	Beyond       bool    // Statistic is beyond a limit; on it is not beyond
}

// Calibration returns the line as a calibration to control readings by.
func (l Line) Calibration() Calibration {
	return Calibration{Intercept: l.Intercept, Slope: l.Slope, ResidualSD: l.ResidualSD, DF: l.N - 2}
}

// Limit returns the distance of the control limits from 0 at the two-sided level, 0.5 … 0.9999, in the unit of x:
// t(DF)·ResidualSD/|Slope|. The limits leave out the uncertainty of the line itself, as the source does.
//
// An error is returned for another level, and for a calibration that corrects nothing: a slope or a standard deviation
// of 0, no degrees of freedom, or a figure that is not finite.
//
// Source: e-Handbook 2.3.7.1.
func (c Calibration) Limit(level float64) (float64, error) {
	if err := checkLevel(level); err != nil {
		return 0, err
	}
	for _, f := range []struct {
		what  string
		value float64
	}{{"intercept is", c.Intercept}, {"slope is", c.Slope}, {"residual standard deviation is", c.ResidualSD}} {
		if err := checkNumber(f.what, f.value); err != nil {
			return 0, err
		}
	}
	switch {
	case c.Slope == 0:
		return 0, fmt.Errorf("slope is 0, expected a line that rises or falls; a level line tells no reading from another")
	case c.ResidualSD <= 0:
		return 0, fmt.Errorf("residual standard deviation is %g, expected above 0; limits without width control nothing", c.ResidualSD)
	case c.DF < 1:
		return 0, fmt.Errorf("degrees of freedom are %d, expected at least 1; it takes 3 points to fit a line with scatter", c.DF)
	}
	half := coverage(level, c.DF) * c.ResidualSD / c.Slope
	if half < 0 {
		half = -half
	}
	if err := checkNumber("the control limit is", half); err != nil {
		return 0, err
	}
	return half, nil
}

// Check judges the reading y on a reference of value x at the two-sided level. Errors are those of
// [Calibration.Limit], and x or y not finite.
//
// Source: e-Handbook 2.3.7.1.
func (c Calibration) Check(x, y, level float64) (CalibrationCheck, error) {
	half, err := c.Limit(level)
	if err != nil {
		return CalibrationCheck{}, err
	}
	if err := checkPairs([]float64{x}, []float64{y}, 1); err != nil {
		return CalibrationCheck{}, err
	}
	out := CalibrationCheck{Statistic: (y-c.Intercept)/c.Slope - x, Lower: -half, Upper: half}
	if err := checkNumber("the corrected reading is", out.Statistic); err != nil {
		return CalibrationCheck{}, err
	}
	out.Beyond = out.Statistic < out.Lower || out.Statistic > out.Upper
	return out, nil
}
