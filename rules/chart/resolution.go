package chart

import (
	"math"
	"slices"
)

// fewValues is the number of different baseline values below which a resolution
// is called coarse. Common practice asks for at least four or five possible
// readings inside the limits; no source.
const fewValues = 4

// resolution returns how many different values there are and the smallest
// difference between two of them if ties among the values come from a
// resolution that is coarse against the spread, else 0 and 0. Without ties
// there is no sign of one: a steady drift also keeps its values a step apart.
func resolution(values []float64, sigma, same float64) (distinct int, step float64) {
	// Fine values show within a few readings that they are; this saves sorting.
	var seen []float64
	for _, v := range values {
		at, _ := slices.BinarySearch(seen, v)
		gap := math.Inf(1)
		if at > 0 {
			gap = v - seen[at-1]
		}
		if at < len(seen) {
			gap = min(gap, seen[at]-v)
		}
		if gap <= same {
			continue
		}
		step = gap
		if seen = slices.Insert(seen, at, v); len(seen) > 1000 || len(seen) > fewValues && gap <= sigma {
			break
		}
	}
	if len(seen) > fewValues && step <= sigma {
		return 0, 0
	}
	sorted := slices.Sorted(slices.Values(values))
	distinct, step = 1, math.Inf(1)
	for i := 1; i < len(sorted); i++ {
		if gap := sorted[i] - sorted[i-1]; gap > same {
			distinct++
			step = min(step, gap)
		}
	}
	if distinct < len(values) && (distinct < fewValues || step > sigma) {
		return distinct, step
	}
	return 0, 0
}

// rounding returns the difference below which two values, or a value and a
// line, count as equal: a billionth of sigma, finer than any instrument reads;
// or sixteen units in the last place of the largest of the baseline values, the
// noise of the arithmetic; or 1e-300, below which numbers lose digits. Without
// it a value that lies on the centre line in decimal writing would fall on one
// side of it by chance.
func rounding(sigma, largest float64) float64 {
	return max(1e-9*sigma, 0x1p-48*largest, 1e-300)
}
