package growth

import (
	"fmt"
	"math"
)

// Check is one error of a device over a path.
type Check struct {
	PathM   float64 // length that the limit is computed from, 1e-9 … 1e6 m
	ErrorUM float64 // signed, at most 1e9 µm in magnitude
}

// Claim is a maximum permissible error that grows with the path: ConstantUM + PerMetreUM·L, neither negative, not both 0.
type Claim struct {
	ConstantUM, PerMetreUM float64
}

// AtUM returns the maximum permissible error over a path, in micrometres.
func (c Claim) AtUM(pathM float64) float64 { return c.ConstantUM + float64(c.PerMetreUM*pathM) }

// Point is a check beside the limit at its path, to be drawn in a funnel that opens with the path.
type Point struct {
	PathM, ErrorUM, MPEUM float64
}

// Settings are what is asked of an estimate. The zero value means 0.95 for both.
type Settings struct {
	Level    float64 // of the intervals of parameters, 0.5 … 0.9999
	Coverage float64 // share of further errors inside the bound, 0.5 … 0.9999
}

// usual is the level and the share where none is asked for.
const usual = 0.95

func (s Settings) filled() (Settings, error) {
	for _, p := range []struct {
		what  string
		value *float64
	}{{"level", &s.Level}, {"coverage", &s.Coverage}} {
		if *p.value == 0 {
			*p.value = usual
		}
		if !(*p.value >= 0.5 && *p.value <= 0.9999) {
			return s, fmt.Errorf("%s %g, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %%", p.what, *p.value)
		}
	}
	return s, nil
}

// The range of paths and errors; inside it no sum of squares leaves the range of numbers.
const (
	shortestM = 1e-9
	longestM  = 1e6
	largestUM = 1e9
)

func examine(checks []Check, claim Claim) error {
	// Comparisons are written so that NaN, which compares false with everything, is refused too.
	for i, c := range checks {
		if !(c.PathM >= shortestM && c.PathM <= longestM) {
			return fmt.Errorf("the path at index %d is %g m, expected 1e-9 to 1e6 m; check the unit", i, c.PathM)
		}
		if !(math.Abs(c.ErrorUM) <= largestUM) {
			return fmt.Errorf("the error at index %d is %g µm, expected at most 1e9 µm in magnitude; check the unit", i, c.ErrorUM)
		}
	}
	for _, p := range []struct {
		what  string
		value float64
	}{{"constant", claim.ConstantUM}, {"part per metre", claim.PerMetreUM}} {
		if !(p.value >= 0 && p.value <= largestUM) {
			return fmt.Errorf("the %s of the claim is %g µm, expected 0 to 1e9 µm; check the formula of the limit", p.what, p.value)
		}
	}
	if claim == (Claim{}) {
		return fmt.Errorf("the claim is 0 at every path, expected a constant or a part per metre above 0")
	}
	return nil
}
