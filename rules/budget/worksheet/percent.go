package worksheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// ParsePercent reads a share written as "95 %", "95%" or, as a fraction, "0.95". A number of 1 or more without its % is
// refused, because nobody can tell whether 1 means all or a hundredth.
func ParsePercent(text string) (float64, error) {
	bare, percent := strings.CutSuffix(strings.TrimSpace(text), "%")
	bare = strings.TrimSpace(bare)
	v, err := strconv.ParseFloat(bare, 64)
	switch {
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0):
		return 0, fmt.Errorf(`%q, expected a percentage such as "95 %%"`, text)
	case percent:
		// Decimal digits are kept: 99.73 % is the number nearest to 0.9973.
		if shifted, err := strconv.ParseFloat(bare+"e-2", 64); err == nil {
			return shifted, nil
		}
		return v / 100, nil
	case v >= 1:
		return 0, fmt.Errorf(`%q without a %%, expected a percentage such as "95 %%" or a fraction such as 0.95`, text)
	}
	return v, nil
}
