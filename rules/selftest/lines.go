package selftest

import (
	"strings"

	"plumbrule/rules/drift"
	"plumbrule/rules/published"
)

// fitted is the least-squares line through two columns of a data set.
func fitted(b *bench, file, x, y string) (drift.Line, error) {
	return once(b, "line "+file, func() (drift.Line, error) {
		xs, err := published.Column(file+".csv", x)
		if err != nil {
			return drift.Line{}, err
		}
		ys, err := published.Column(file+".csv", y)
		if err != nil {
			return drift.Line{}, err
		}
		return drift.Fit(xs, ys)
	})
}

func line(b *bench, input string) (float64, error) {
	parts, err := cut(input, ", ", 2)
	if err != nil {
		return 0, err
	}
	x, y := "x", "y"
	if parts[0] == "linewidth-calibration" {
		x, y = "x_um", "y_um"
	}
	l, err := fitted(b, parts[0], x, y)
	if err != nil {
		return 0, err
	}
	return pick(parts[1], map[string]float64{
		"intercept": l.Intercept, "standard error of the intercept": l.InterceptSE, "slope": l.Slope, "standard error of the slope": l.SlopeSE,
		"residual sd": l.ResidualSD, "R squared": known(l.RSquared),
	})
}

func inverse(b *bench, input string) (float64, error) {
	l, err := fitted(b, "arsenic", "actual", "measured")
	if err != nil {
		return 0, err
	}
	c, err := l.Crossings(3, 0.9)
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{
		"estimate":           known(c.Estimate),
		"one reading, lower": known(c.Prediction.Lower), "one reading, upper": known(c.Prediction.Upper),
		"mean response, lower": known(c.Confidence.Lower), "mean response, upper": known(c.Confidence.Upper),
		"first-order standard error": known(l.FirstOrderSE(3)),
	})
}

func band(b *bench, input string) (float64, error) {
	l, err := fitted(b, "norris", "x", "y")
	if err != nil {
		return 0, err
	}
	confidence, err := l.Confidence(500, 0.95)
	if err != nil {
		return 0, err
	}
	prediction, err := l.Prediction(500, 0.95)
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{
		"fit": confidence.Estimate, "lower confidence": known(confidence.Lower), "upper confidence": known(confidence.Upper),
		"lower prediction": known(prediction.Lower), "upper prediction": known(prediction.Upper),
	})
}

func robustSlope(_ *bench, input string) (float64, error) {
	r, err := drift.TheilSen([]float64{1, 2, 3, 4, 10, 12, 18}, []float64{9, 15, 19, 20, 45, 55, 78}, 0.93)
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{"slope": r.Slope, "lower": known(r.Lower), "upper": known(r.Upper)})
}

// controlOfCalibration lists the readings of the handbook's calibration that lie beyond, by day and position.
func controlOfCalibration(_ *bench, _ string) (string, error) {
	rows, err := published.Table("linewidth-control.csv")
	if err != nil {
		return "", err
	}
	c := drift.Calibration{Intercept: 0.2817, Slope: 0.9767, ResidualSD: 0.06826, DF: 38}
	var beyond []string
	for _, row := range rows[1:] {
		reading, err := numbersIn(row[2] + " " + row[3])
		if err != nil {
			return "", err
		}
		checked, err := c.Check(reading[0], reading[1], 0.95)
		if err != nil {
			return "", err
		}
		if checked.Beyond {
			beyond = append(beyond, row[0]+" "+row[1])
		}
	}
	return strings.Join(beyond, ", "), nil
}
