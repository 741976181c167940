package interval

import (
	"fmt"
	"math"
)

// The shortest and longest interval that can be asked about, in months: about eight hours, and a century. Between them no
// rate over- or underflows.
const (
	shortestMonths = 0.01
	longestMonths  = 1200
)

// The conditions below are written so that NaN, which compares false with everything, is refused too.

func checkMonths(field string, months float64) error {
	if months >= shortestMonths && months <= longestMonths {
		return nil
	}
	return &InputError{
		Field: field, Found: fmt.Sprintf("%g", months), Expected: "a number of months from 0.01 to 1200",
		Mend: "check the unit",
	}
}

// least keeps shares away from 0 and 1, where quantiles become infinite or lose their digits.
const least = 1e-9

func checkShare(field string, share float64) error {
	if share >= least && share <= 1-least {
		return nil
	}
	return &InputError{
		Field: field, Found: fmt.Sprintf("%g", share), Expected: "a share between 0 and 1, neither of them nor within a billionth of one",
		Mend: "write 95 % as 0.95",
	}
}

// largest bounds every error, limit and slope, so that no square of one overflows.
const largest = 1e100

// checkSide asks of a one-sided level that it cannot hold on both sides at once.
func checkSide(field string, confidence float64) error {
	if err := checkShare(field, confidence); err != nil {
		return err
	}
	if confidence >= 0.5 {
		return nil
	}
	return &InputError{
		Field: field, Found: fmt.Sprintf("%g", confidence), Expected: "at least 0.5",
		Mend: "below that, too few and too many would be shown by the same outcomes",
	}
}

func checkWithin(field string, value, most float64) error {
	if math.Abs(value) <= most {
		return nil
	}
	return &InputError{Field: field, Found: fmt.Sprintf("%g", value), Expected: fmt.Sprintf("a number of at most %g in magnitude", most)}
}

func checkPositive(field string, value float64) error {
	if value > 0 && value <= largest {
		return nil
	}
	return &InputError{Field: field, Found: fmt.Sprintf("%g", value), Expected: "a number above 0 and of at most 1e100"}
}

func checkCounts(inTolerance, trials, most int) error {
	if trials < 1 || trials > most {
		return &InputError{
			Field: "trials", Found: fmt.Sprint(trials), Expected: fmt.Sprintf("a count from 1 to %d", most),
		}
	}
	if inTolerance < 0 || inTolerance > trials {
		return &InputError{
			Field: "in_tolerance", Found: fmt.Sprint(inTolerance), Expected: fmt.Sprintf("a count from 0 to the %d trials", trials),
		}
	}
	return nil
}
