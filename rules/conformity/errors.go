package conformity

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// largestUM bounds every length that comes in. A thousand kilometres is far above any test length, and below it no sum
// of two inputs overflows.
const largestUM = 1e12

func checkLength(field string, um float64) error {
	// Written so that NaN, which compares false with everything, is refused too.
	if math.Abs(um) <= largestUM {
		return nil
	}
	return &InputError{
		Field:    field,
		Found:    fmt.Sprintf("%g", um),
		Expected: "a finite number of micrometres of at most 1e12 in magnitude",
		Mend:     "check the unit and the formula the number came from",
	}
}

func notANumber(values ...float64) bool {
	return slices.ContainsFunc(values, math.IsNaN)
}

func ruleNames() string {
	var names []string
	for _, r := range Rules() {
		names = append(names, string(r.Rule))
	}
	return listed(names)
}

func listed(names []string) string { return strings.Join(names, ", ") }
