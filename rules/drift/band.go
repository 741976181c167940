package drift

import (
	"math"

	"plumbrule/rules/figure"
)

// Band is an estimate with the interval that holds it, or what it foretells, at the level asked for. The ends are absent
// together, and then say why.
type Band struct {
	Estimate     float64
	Lower, Upper Figure
}

// noScatter is why an exact line has no bands.
const noScatter = "the points show no scatter about the line, so nothing says how wide the band is; read the values more finely"

// Confidence returns the line at x with the interval that holds the true line there with the probability level,
// 0.5 … 0.9999, two-sided. An error is returned for another level and an x that is not finite.
func (l Line) Confidence(x, level float64) (Band, error) { return l.band(x, level, 0) }

// Prediction returns the line at x with the interval that holds one further reading there with the probability level,
// 0.5 … 0.9999, two-sided. An error is returned for another level and an x that is not finite.
func (l Line) Prediction(x, level float64) (Band, error) { return l.band(x, level, 1) }

// SlopeBand returns the slope with its interval at the level, 0.5 … 0.9999, two-sided. An error is returned for another
// level.
func (l Line) SlopeBand(level float64) (Band, error) {
	if err := checkLevel(level); err != nil {
		return Band{}, err
	}
	return l.slopeBand(level), nil
}

func (l Line) slopeBand(level float64) Band {
	return l.around(l.Slope, level, l.SlopeSE)
}

// band adds the variance of a further reading, in units of the residual variance, to that of the line.
func (l Line) band(x, level, reading float64) (Band, error) {
	if err := checkLevel(level); err != nil {
		return Band{}, err
	}
	if err := checkNumber("x is", x); err != nil {
		return Band{}, err
	}
	d := x - l.XMean
	return l.around(l.At(x), level, l.ResidualSD*math.Sqrt(reading+1/float64(l.N)+float64(d*d)/l.sxx)), nil
}

func (l Line) around(estimate, level, se float64) Band {
	if l.Exact {
		return Band{Estimate: estimate, Lower: figure.Absentf(noScatter), Upper: figure.Absentf(noScatter)}
	}
	half := coverage(level, l.N-2) * se
	return Band{Estimate: estimate, Lower: figure.Known(estimate - half), Upper: figure.Known(estimate + half)}
}

// excludesZero says that an interval is known and lies on one side of 0.
func (b Band) excludesZero() bool {
	return b.Lower.Value != nil && (*b.Lower.Value > 0 || *b.Upper.Value < 0)
}
