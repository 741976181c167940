package budget

import "math"

// TrapezoidalCoverageFactor returns k such that ±k standard uncertainties hold with the probability p if the result is
// distributed as the sum of two rectangular contributions of half widths a₁ and a₂, with β = |a₁ − a₂|/(a₁ + a₂): 0 gives a
// triangle, 1 a rectangle. Where the interval ends on the slopes, k is (1 − √((1 − p)(1 − β²)))/√((1 + β²)/6), the formula
// of EA-4/02 M:2022, example S10; where it ends under the flat top, p(1 + β)/2 takes the place of the numerator.
//
// An [*InputError] refuses p outside 0.5 … 0.999999 and β outside 0 … 1.
func TrapezoidalCoverageFactor(p, beta float64) (float64, error) {
	err := firstError(
		between("coverage_probability", p, 0.5, 0.999999, "a probability from 0.5 to 0.999999", "state it as a fraction, 0.95 for 95 %"),
		between("beta", beta, 0, 1, "a ratio from 0 to 1", "it is the difference of the two half widths over their sum"),
	)
	if err != nil {
		return 0, err
	}
	// In half widths of the base; the flat top reaches to β.
	end := p * (1 + beta) / 2
	if end > beta {
		end = 1 - math.Sqrt((1-p)*(1-float64(beta*beta)))
	}
	return end / math.Sqrt((1+float64(beta*beta))/6), nil
}
