package sample

import (
	"fmt"
	"math"
)

// largest bounds every value that comes in; below it no difference or sum overflows.
const largest = 1e290

func check(values []float64, least int) error {
	if len(values) < least {
		return fmt.Errorf("%d values, expected at least %d; take more readings", len(values), least)
	}
	for i, v := range values {
		// Written so that NaN, which compares false with everything, is refused too.
		if !(math.Abs(v) <= largest) {
			return fmt.Errorf("value %g at index %d, expected a finite number of at most 1e290 in magnitude; check where it came from", v, i)
		}
	}
	return nil
}

// checkSignificance refuses a significance level that no test is run at. Below 1e-6 the quantiles are those of a tail
// that nobody has seen normal.
func checkSignificance(alpha float64) error {
	if alpha >= 1e-6 && alpha <= 0.5 {
		return nil
	}
	return fmt.Errorf("significance level %g, expected 0.000001 to 0.5; state it as a fraction, 0.05 for 5 %%", alpha)
}
