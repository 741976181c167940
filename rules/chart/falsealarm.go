package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// FalseAlarm returns the probability that the next value of a process in
// control lies beyond limits of three sample standard deviations about the mean
// when both were estimated from count normally distributed values: twice the
// upper tail of Student's t with count-1 degrees of freedom at 3/√(1+1/count).
// It falls towards 0.0027 as count grows. Limits from the moving range do a
// little worse, so for them the figure is a lower bound. An error is returned
// for a count below 2. Source of the setting: Yang and Hillier 1970,
// J. Quality Technology 2, 9-16; the formula is the prediction interval of one
// further normal value.
func FalseAlarm(count int) (float64, error) {
	if count < 2 {
		return 0, fmt.Errorf("a baseline of %d points has no standard deviation; expected at least 2", count)
	}
	return falseAlarm(count), nil
}

func falseAlarm(count int) float64 {
	at := -3 / math.Sqrt(1+1/float64(count))
	// Beyond a million degrees of freedom the library's t loses digits.
	if count > 1e6 {
		return 2 * distuv.UnitNormal.CDF(at)
	}
	return 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(count - 1)}.CDF(at)
}
