package rules

import (
	"math"

	"plumbrule/rules/conformity"
)

// graver reports whether a is the worse of two decisions: by verdict, then by
// the share of the limit that the error takes up.
func graver(a, b conformity.Decision) bool {
	if x, y := gravity(a.Verdict), gravity(b.Verdict); x != y {
		return x > y
	}
	return float64(math.Abs(a.ErrorUM)*b.MPEUM) > float64(math.Abs(b.ErrorUM)*a.MPEUM)
}

// gravity orders verdicts from pass to fail.
func gravity(v conformity.Verdict) int {
	switch v {
	case conformity.ConditionalPass:
		return 1
	case conformity.Inconclusive:
		return 2
	case conformity.ConditionalFail:
		return 3
	case conformity.Fail:
		return 4
	case conformity.Pass:
	}
	return 0
}

// failed reports whether a verdict is one of failure.
func failed(v conformity.Verdict) bool { return gravity(v) >= gravity(conformity.ConditionalFail) }

// good reports whether a verdict lets the device be used.
func good(v conformity.Verdict) bool { return gravity(v) <= gravity(conformity.ConditionalPass) }
