package budget

import "math"

// Coverage says how the combined uncertainty is expanded: to a probability, or by a stated factor. The zero value means
// [DefaultProbability]; setting both is refused.
type Coverage struct {
	Probability float64 // 0.5 … 0.999999
	Factor      float64 // k, from a millionth to a million
}

// Result is a combined uncertainty.
type Result struct {
	CombinedUM float64 // u_c, the root of the summed squares of the contributions

	// EffectiveDOF is ν_eff by Welch and Satterthwaite (GUM G.4.1, formula (G.2b)), not truncated; +Inf if every part that
	// adds something has infinite degrees of freedom. UsedDOF is the next lower integer, from which the coverage factor
	// was read, as the note to GUM G.4.1 advises; the interpolation it also allows is not used.
	EffectiveDOF float64
	UsedDOF      float64

	CoverageFactor      float64 // k
	CoverageProbability float64 // of ±U, for UsedDOF
	ExpandedUM          float64 // U = k·u_c, not rounded

	// Shares are the components' parts of the variance u_c², in their order; they sum to 1, or are all 0 if u_c is 0.
	Shares []float64
}

// Combine adds uncorrelated components to first order and expands the sum.
//
// A component's ContributionUM is taken as its magnitude: signs of sensitivities do not cancel. If all contributions are
// 0, so is the result, with infinite degrees of freedom. An [*InputError] names a component that cannot be used, an empty
// budget, or a coverage that is out of range.
//
// Source: GUM 5.1.2, G.4.1 and G.6.4.
func Combine(components []Component, coverage Coverage) (Result, error) {
	if len(components) == 0 {
		return Result{}, &InputError{
			Field: "components", Found: "empty", Expected: "at least one component",
			Mend: "list what the test value's uncertainty rests on; an unknown uncertainty is not 0",
		}
	}
	largestUM := 0.0
	for i, c := range components {
		if err := c.check(i); err != nil {
			return Result{}, err
		}
		largestUM = math.Max(largestUM, c.ContributionUM())
	}
	result := Result{EffectiveDOF: math.Inf(1), Shares: make([]float64, len(components))}
	if largestUM > 0 {
		// Relative to the largest contribution no square overflows or vanishes where it counts.
		sum := 0.0
		for i, c := range components {
			relative := c.ContributionUM() / largestUM
			result.Shares[i] = relative * relative
			sum += result.Shares[i]
		}
		result.CombinedUM = float64(largestUM * math.Sqrt(sum))
		lack := 0.0
		for i, c := range components {
			result.Shares[i] /= sum
			lack += float64(result.Shares[i]*result.Shares[i]) / c.DegreesOfFreedom
		}
		result.EffectiveDOF = 1 / lack
	}
	result.UsedDOF = Truncate(result.EffectiveDOF)
	if err := result.expand(coverage); err != nil {
		return Result{}, err
	}
	return result, nil
}

// Truncate returns the next lower integer, as the note to GUM G.4.1 advises for degrees of freedom before a coverage factor
// is read. One part alone with ν = 49 comes out a bit under 49, and must not lose a whole degree to that bit.
func Truncate(nu float64) float64 { return math.Floor(nu * (1 + 1e-12)) }

func (r *Result) expand(coverage Coverage) error {
	var err error
	switch {
	case coverage.Probability != 0 && coverage.Factor != 0:
		return &InputError{
			Field: "coverage", Found: "both a probability and a factor", Expected: "one of them", Mend: "leave one out; the other follows from it",
		}
	case coverage.Factor != 0:
		if err := factor("coverage_factor", coverage.Factor); err != nil {
			return err
		}
		r.CoverageFactor = coverage.Factor
		r.CoverageProbability = CoverageProbability(coverage.Factor, r.UsedDOF)
	default:
		r.CoverageProbability = coverage.Probability
		if coverage.Probability == 0 {
			r.CoverageProbability = DefaultProbability
		}
		if r.CoverageFactor, err = CoverageFactor(r.CoverageProbability, r.UsedDOF); err != nil {
			return err
		}
	}
	r.ExpandedUM = float64(r.CoverageFactor * r.CombinedUM)
	return nil
}
