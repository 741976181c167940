package sample

import (
	"math"
	"slices"
)

// moments are the centre and the spread of values; the deviations are kept because they are needed again.
type moments struct {
	mean       float64
	sd         float64 // n−1; 0 for a single value
	deviations []float64
	constant   bool // the values differ by no more than rounding does
}

// noise is the part of a value's magnitude that decimal writing and arithmetic may have added: sixteen units in the last
// place. 0.1 + 0.2 and 0.3 are the same reading.
const noise = 0x1p-48

// measure takes two passes: a rough mean, then the mean of what is left, so that a large common offset costs no digits.
// Values must be finite and at least one.
func measure(values []float64) moments {
	low, high := slices.Min(values), slices.Max(values)
	m := moments{deviations: make([]float64, len(values))}
	// The middle of the range is exact for equal values, which a sum is not.
	middle := low + (high-low)/2
	for i, v := range values {
		m.deviations[i] = v - middle
	}
	n := float64(len(values))
	rest := sum(m.deviations) / n
	for i := range m.deviations {
		m.deviations[i] -= rest
	}
	m.mean = middle + rest
	m.constant = high-low <= noise*max(math.Abs(low), math.Abs(high))
	if high == low {
		return m
	}
	// A power of two taken out keeps the squares of very large and very small deviations in range and costs no digits.
	_, exponent := math.Frexp(high - low)
	squares := make([]float64, len(values))
	for i, d := range m.deviations {
		scaled := math.Ldexp(d, -exponent)
		squares[i] = scaled * scaled
	}
	m.sd = math.Ldexp(math.Sqrt(sum(squares)/(n-1)), exponent)
	return m
}

// sum adds with the rounding errors carried along (Neumaier 1974, Z. angew. Math. Mech. 54, 39–51).
func sum(values []float64) float64 {
	total, lost := 0.0, 0.0
	for _, v := range values {
		next := total + v
		if math.Abs(total) >= math.Abs(v) {
			lost += (total - next) + v
		} else {
			lost += (v - next) + total
		}
		total = next
	}
	return total + lost
}
