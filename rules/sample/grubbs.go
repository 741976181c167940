package sample

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// Side says which value a test for one outlier looks at.
type Side string

// The sides. The side is chosen before the values are seen; choosing it by them doubles the risk of a false alarm.
const (
	EitherSide   Side = "either"   // the value farthest from the mean
	LargestSide  Side = "largest"  // the largest value
	SmallestSide Side = "smallest" // the smallest value
)

// OutlierTest is the outcome of a test of one value against the rest.
type OutlierTest struct {
	Suspect Extreme
	// Statistic is the distance of the suspect from the mean in standard deviations, Critical the distance that it takes
	// to call it an outlier; pure numbers. Statistic is absent if the values are all the same.
	Statistic Figure
	Critical  float64
	Outlier   bool // Statistic is greater than Critical
}

// Grubbs tests whether one value of a normal sample lies too far out, at the significance level alpha: the probability,
// 0.000001 … 0.5, that a sample without outlier is said to have one. With fewer than 7 values it flags good ones more
// often than it finds bad ones (e-Handbook 1.3.5.17.1); more than one outlier can hide behind each other, see [Rosner].
//
// An error is returned for fewer than 3 values, one that is not finite, an alpha out of range, and an unknown side.
//
// Source: Grubbs (1969), Technometrics 11, 1–21; e-Handbook 1.3.5.17.1.
func Grubbs(values []float64, side Side, alpha float64) (OutlierTest, error) {
	if err := check(values, 3); err != nil {
		return OutlierTest{}, err
	}
	if err := checkSignificance(alpha); err != nil {
		return OutlierTest{}, err
	}
	n := float64(len(values))
	tail := alpha / n
	switch side {
	case EitherSide:
		tail /= 2
	case LargestSide, SmallestSide:
	default:
		return OutlierTest{}, fmt.Errorf("side %q, expected %q, %q or %q", side, EitherSide, LargestSide, SmallestSide)
	}
	m := measure(values)
	out := OutlierTest{Critical: farthest(n, tail)}
	i := m.farthest(side)
	out.Suspect = Extreme{i, values[i]}
	if m.constant {
		out.Statistic = figure.Absentf("all %d values are the same", len(values))
		return out, nil
	}
	statistic := math.Abs(m.deviations[i]) / m.sd
	out.Statistic = figure.Known(statistic)
	out.Outlier = statistic > out.Critical
	return out, nil
}

// farthest returns the distance from the mean, in standard deviations, that one given value of n exceeds with the
// probability tail: a single deviation has a distribution derived from Student's t with n−2 degrees of freedom.
func farthest(n, tail float64) float64 {
	t := upperT(tail, n-2)
	return (n - 1) / math.Sqrt(n) * t / math.Sqrt(n-2+float64(t*t))
}

// farthest returns the index of the first value farthest out on a side.
func (m moments) farthest(side Side) int {
	best, at := math.Inf(-1), 0
	for i, d := range m.deviations {
		switch side {
		case EitherSide:
			d = math.Abs(d)
		case SmallestSide:
			d = -d
		case LargestSide:
		}
		if d > best {
			best, at = d, i
		}
	}
	return at
}
