package interval

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Proportion is an observed share of outcomes in tolerance with its exact confidence limits.
type Proportion struct {
	InTolerance, Trials int
	Confidence          float64 // of the two-sided pair together, and of each one-sided limit by itself

	Estimate                     float64 // InTolerance/Trials
	Lower, Upper                 float64 // two-sided
	OneSidedLower, OneSidedUpper float64
}

// mostTrials is far above any fleet of devices, and low enough for the beta quantiles to keep their digits.
const mostTrials = 1_000_000

// ClopperPearson returns the exact confidence limits of a share; they hold at least the stated confidence, never less.
//
// With none in tolerance the lower limits are 0, with all of them the upper limits are 1; the other one-sided limit is then
// 1 − α^(1/n) or α^(1/n). An [*InputError] names counts that contradict each other, more than a million trials, or a
// confidence outside (0, 1).
//
// Source: Clopper and Pearson (1934), Biometrika 26, 404–413; limits as beta quantiles as in the NIST/SEMATECH e-Handbook
// of Statistical Methods, 7.2.4.1.
func ClopperPearson(inTolerance, trials int, confidence float64) (Proportion, error) {
	if err := checkCounts(inTolerance, trials, mostTrials); err != nil {
		return Proportion{}, err
	}
	if err := checkShare("confidence", confidence); err != nil {
		return Proportion{}, err
	}
	alpha := 1 - confidence
	return Proportion{
		InTolerance: inTolerance, Trials: trials, Confidence: confidence,
		Estimate:      float64(inTolerance) / float64(trials),
		Lower:         lowerLimit(inTolerance, trials, alpha/2),
		Upper:         1 - lowerLimit(trials-inTolerance, trials, alpha/2),
		OneSidedLower: lowerLimit(inTolerance, trials, alpha),
		OneSidedUpper: 1 - lowerLimit(trials-inTolerance, trials, alpha),
	}, nil
}

// lowerLimit returns the share at which k or more of n have probability alpha. The two ends are ours to treat: the beta law
// has no parameter 0.
func lowerLimit(k, n int, alpha float64) float64 {
	switch k {
	case 0:
		return 0
	case n:
		return math.Pow(alpha, 1/float64(n))
	}
	return distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile(alpha)
}
