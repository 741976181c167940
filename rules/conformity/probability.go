package conformity

import (
	"fmt"
	"math"
)

// Probability returns the probability that the true value lies in [lower, upper], given the measured value y with
// standard uncertainty u: Φ((upper−y)/u) − Φ((lower−y)/u).
//
// All four are in one unit, whichever it is. A limit that does not exist is math.Inf(-1) or math.Inf(1). The interval is
// closed, which only matters for u = 0: the answer is then 0 or 1. Small probabilities keep their relative precision.
// An [*InputError] names an input that is not a number, an infinite y or u, u < 0, or limits in the wrong order.
//
// Source: JCGM 106:2012, 7.4 (normal law).
func Probability(y, u, lower, upper float64) (float64, error) {
	switch {
	case notANumber(y, u, lower, upper), math.IsInf(y, 0), math.IsInf(u, 0):
		return 0, &InputError{
			Field:    "probability",
			Found:    fmt.Sprintf("asked for y = %g, u = %g, limits %g and %g", y, u, lower, upper),
			Expected: "numbers, y and u finite",
		}
	case u < 0:
		return 0, &InputError{Field: "u", Found: fmt.Sprintf("%g", u), Expected: "a standard uncertainty of 0 or more"}
	case lower > upper:
		return 0, &InputError{
			Field: "lower", Found: fmt.Sprintf("%g", lower), Expected: fmt.Sprintf("at most the upper limit %g", upper),
			Mend: "swap the limits",
		}
	}
	if u == 0 {
		if lower <= y && y <= upper {
			return 1, nil
		}
		return 0, nil
	}
	from, to := (lower-y)/u, (upper-y)/u
	// Each branch subtracts tails on the side where they are small: 1 − 0.999… would lose the digits of a rare event.
	switch {
	case from > 0:
		return upperTail(from) - upperTail(to), nil
	case to < 0:
		return upperTail(-to) - upperTail(-from), nil
	default:
		return 1 - upperTail(-from) - upperTail(to), nil
	}
}

// ProbabilityOneSided returns the probability that the true value is at most upper, Φ((upper−y)/u), for a quantity that
// has no lower limit. Units and errors are those of [Probability].
//
// Source: JCGM 106:2012, 7.3.
func ProbabilityOneSided(y, u, upper float64) (float64, error) {
	return Probability(y, u, math.Inf(-1), upper)
}

// upperTail returns the probability of more than z under the standard normal law.
func upperTail(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }
