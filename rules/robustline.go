package rules

import (
	"slices"

	"plumbrule/rules/drift"
)

// mostExact is for how many points the exact distribution is used for the
// interval of a robust slope.
const mostExact = 50

// RobustLine returns the Theil–Sen line of y over x with its interval at the
// two-sided level, 0.5 … 0.9999: by the exact distribution where it holds (no
// two x are the same, at most 50 points), by the normal approximation
// elsewhere; or nil and the reason why there is none.
func RobustLine(x, y []float64, level float64) (*drift.RobustLine, string) {
	of := drift.TheilSen
	if sorted := slices.Sorted(slices.Values(x)); len(x) <= mostExact && len(slices.Compact(sorted)) == len(x) {
		of = drift.TheilSenExact
	}
	line, err := of(x, y, level)
	if err != nil {
		return nil, err.Error()
	}
	return &line, ""
}
