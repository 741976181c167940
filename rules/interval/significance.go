package interval

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Comparison is an observed share of outcomes in tolerance compared with its target.
type Comparison struct {
	InTolerance, Trials int
	Target              float64
	Significance        float64 // of each side by itself

	AtMost  float64 // probability of so few in tolerance, or fewer, if the target held exactly
	AtLeast float64 // probability of so many, or more

	Direction Direction // Shorten or Lengthen when shown at the significance, otherwise Keep
}

// CompareWithTarget tells whether a share of outcomes in tolerance differs from the target by more than chance.
//
// The target is shown to be missed when AtMost is at most the significance, and to be exceeded when AtLeast is. Both tests
// are one-sided and exact (binomial). An [*InputError] names counts that contradict each other, more than a million trials,
// or a share outside its range.
//
// Source: the exact binomial test, in any textbook; that intervals change only when it rejects is the rule of the
// interval-test methods (from memory).
func CompareWithTarget(inTolerance, trials int, target, significance float64) (Comparison, error) {
	if err := checkCounts(inTolerance, trials, mostTrials); err != nil {
		return Comparison{}, err
	}
	if err := checkShare("target", target); err != nil {
		return Comparison{}, err
	}
	if err := checkShare("significance", significance); err != nil {
		return Comparison{}, err
	}
	if significance > 0.5*slack {
		return Comparison{}, &InputError{
			Field: "significance", Found: plain(significance), Expected: "at most 0.5", Mend: "write the chance of a wrong change, for example 0.05",
		}
	}
	c := Comparison{
		InTolerance: inTolerance, Trials: trials, Target: target, Significance: significance,
		AtMost: atMost(inTolerance, trials, target), AtLeast: atLeast(inTolerance, trials, target),
		Direction: Keep,
	}
	switch {
	case rejected(c.AtMost, significance):
		c.Direction = Shorten
	case rejected(c.AtLeast, significance):
		c.Direction = Lengthen
	}
	return c, nil
}

// rejected compares with a slack for the noise of the arithmetic: 1 − 0.95 is not quite 0.05.
func rejected(p, significance float64) bool { return p <= significance*slack }

// atLeast returns the probability of k or more of n at probability p each: an incomplete beta function, so a small one
// keeps its digits.
func atLeast(k, n int, p float64) float64 {
	if k == 0 {
		return 1
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}

func atMost(k, n int, p float64) float64 { return atLeast(n-k, n, 1-p) }

// OutcomesToLengthen returns how many outcomes, all in tolerance, show that the target is exceeded: the smallest n with
// target^n at most 1 − confidence. 59 for 95 % with 95 % confidence. An [*InputError] names a share outside (0, 1).
func OutcomesToLengthen(target, confidence float64) (int, error) {
	if err := checkShare("target", target); err != nil {
		return 0, err
	}
	if err := checkShare("confidence", confidence); err != nil {
		return 0, err
	}
	n := math.Ceil(math.Log((1-confidence)*slack) / math.Log(target))
	if !(n <= mostTrials) {
		return 0, &InputError{
			Field: "target", Found: plain(target), Expected: "a target that a million outcomes could show",
			Mend: "lower the target or the confidence",
		}
	}
	return max(1, int(n)), nil
}

// failuresToShorten returns how many of n outcomes must be out of tolerance to show that the target is missed; false if not
// even all of them would.
func failuresToShorten(n int, target, significance float64) (int, bool) {
	if !rejected(atMost(0, n, target), significance) {
		return 0, false
	}
	few, many := 0, n // failures that do not show it, failures that do
	for many-few > 1 {
		if middle := few + (many-few)/2; rejected(atMost(n-middle, n, target), significance) {
			many = middle
		} else {
			few = middle
		}
	}
	return many, true
}
