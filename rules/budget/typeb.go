package budget

import "math"

// Rectangular returns the standard uncertainty a/√3 of a value equally likely anywhere within ±a (GUM 4.3.7). Like the
// other shapes it passes on what it is given: [Combine] refuses a half width that is negative or no number.
func Rectangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(3) }

// Triangular returns the standard uncertainty a/√6 of a value within ±a that is likelier near the middle (GUM 4.3.9).
func Triangular(halfWidth float64) float64 { return halfWidth / math.Sqrt(6) }

// Arcsine returns the standard uncertainty a/√2 of a value that swings as a sine of amplitude a (GUM H.1.3.4).
func Arcsine(halfWidth float64) float64 { return halfWidth / math.Sqrt2 }

// TypeBDegreesOfFreedom returns 1/(2r²), the degrees of freedom of a standard uncertainty that is itself known to the
// fraction r only: r = 0.25 says "a quarter more or less" and gives 8; r = 0 gives infinity. An [*InputError] refuses r
// below 0, no number, or above √½, where less than one degree would be left.
//
// Source: GUM G.4.2, formula (G.3).
func TypeBDegreesOfFreedom(r float64) (float64, error) {
	err := between("relative_uncertainty", r, 0, math.Sqrt(0.5), "a fraction from 0 to 0.707", "state how far U may be off as a fraction of U")
	if err != nil {
		return 0, err
	}
	// √½ squared is a bit above ½ in floating point; r at that end is one degree of freedom, not a bit less.
	return math.Max(1, 1/(2*r*r)), nil
}
