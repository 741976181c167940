package drift

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// largest bounds every number that comes in; below it no product of squares overflows.
const largest = 1e40

func checkNumber(what string, v float64) error {
	// Written so that NaN, which compares false with everything, is refused too.
	if math.Abs(v) <= largest {
		return nil
	}
	return fmt.Errorf("%s %.6g, expected a finite number of at most 1e40 in magnitude; check where it came from", what, v)
}

func checkPairs(x, y []float64, least int) error {
	if len(x) != len(y) {
		return fmt.Errorf("%d values of x and %d of y, expected as many of both", len(x), len(y))
	}
	if len(x) < least {
		return fmt.Errorf("%d points, expected at least %d; take more readings", len(x), least)
	}
	for i := range x {
		if err := checkNumber(fmt.Sprintf("x at index %d is", i), x[i]); err != nil {
			return err
		}
		if err := checkNumber(fmt.Sprintf("y at index %d is", i), y[i]); err != nil {
			return err
		}
	}
	return nil
}

func checkLevel(level float64) error {
	if level >= 0.5 && level <= 0.9999 {
		return nil
	}
	return fmt.Errorf("level %g, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %%", level)
}

// coverage returns t such that ±t standard errors hold with the probability level, from Student's t distribution with nu
// degrees of freedom.
func coverage(level float64, nu int) float64 {
	return -distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(nu)}.Quantile((1 - level) / 2)
}

func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile(p) }
