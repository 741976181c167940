package budget

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// DefaultProbability is the coverage probability "95.45 %": that of ±2 standard deviations under the normal law, so that
// k is exactly 2 for infinite degrees of freedom.
const DefaultProbability = 0.954499736103642

// asGoodAsNormal is where Student's t is taken as the normal law: the factor then differs by under 3e-6 of itself at
// 99.73 %, while the quantile of the t distribution loses digits as ν grows.
const asGoodAsNormal = 1e6

// CoverageFactor returns k such that ±k standard uncertainties hold with the probability p, from Student's t
// distribution with nu degrees of freedom, or the normal law if nu is infinite: GUM G.3.2 and table G.2.
//
// nu is used as it is; [Combine] truncates it first. An [*InputError] refuses p outside 0.5 … 0.999999 and nu below 1.
func CoverageFactor(p, nu float64) (float64, error) {
	err := firstError(
		between("coverage_probability", p, 0.5, 0.999999, "a probability from 0.5 to 0.999999", "state it as a fraction, 0.95 for 95 %"),
		between("degrees_of_freedom", nu, 1, math.Inf(1), "1 or more", "use infinity where the uncertainty is taken as certain"),
	)
	switch {
	case err != nil:
		return 0, err
	case nu >= asGoodAsNormal && p == DefaultProbability:
		return 2, nil // by definition; the quantile's last bit would show in every U
	case nu >= asGoodAsNormal:
		return distuv.UnitNormal.Quantile((1 + p) / 2), nil
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile((1 + p) / 2), nil
}

// CoverageProbability returns the probability of ±k standard uncertainties, the inverse of [CoverageFactor], for k above 0
// and nu of 1 or more.
func CoverageProbability(k, nu float64) float64 {
	if nu >= asGoodAsNormal {
		return math.Erf(k / math.Sqrt2)
	}
	return 1 - 2*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Survival(k)
}
