package chart

import (
	"math"
	"slices"
)

// baseline is what the baseline of a segment says about the process.
type baseline struct {
	count       int
	mean, sigma float64
	distinct    int     // different values
	step        float64 // smallest difference between two of them
	same        float64 // difference below which two values count as equal
}

// fewValues is the number of different baseline values below which a resolution
// is called coarse. Common practice asks for at least four or five possible
// readings inside the limits; no source.
const fewValues = 4

// coarse reports that ties among the values come from a resolution that is
// coarse against the spread. Without ties there is no sign of one: a steady
// drift also keeps its values a step apart.
func (b baseline) coarse() bool {
	return b.distinct < b.count && (b.distinct < fewValues || b.step > b.sigma)
}

// measure estimates centre and spread; sigma is 0 when the values do not differ
// by more than rounding or when there is only one.
func measure(values []float64) baseline {
	b := baseline{count: len(values), mean: mean(values)}
	if b.count < 2 {
		return b
	}
	ranges := 0.0
	for i := 1; i < len(values); i++ {
		ranges += math.Abs(values[i] - values[i-1])
	}
	sigma := ranges / float64(b.count-1) * math.Sqrt(math.Pi) / 2
	if sigma <= rounding(0, values...) {
		return b
	}
	b.sigma = sigma
	b.same = rounding(sigma, values...)
	b.distinct, b.step = 1, math.Inf(1)
	sorted := slices.Sorted(slices.Values(values))
	for i := 1; i < len(sorted); i++ {
		if gap := sorted[i] - sorted[i-1]; gap > b.same {
			b.distinct++
			b.step = min(b.step, gap)
		}
	}
	return b
}

// mean corrects the plain mean by the mean residual, which recovers the digits
// lost when the values share a large offset.
func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	rough := sum / float64(len(values))
	rest := 0.0
	for _, v := range values {
		rest += v - rough
	}
	return rough + rest/float64(len(values))
}

// rounding returns the difference below which two values, or a value and a
// line, count as equal: a billionth of sigma, finer than any instrument reads,
// or sixteen units in the last place of the largest of the baseline values, the
// noise of the arithmetic, or 1e-300, below which numbers lose digits. Without it a value that lies on the centre line in
// decimal writing would fall on one side of it by chance.
func rounding(sigma float64, values ...float64) float64 {
	largest := 0.0
	for _, v := range values {
		largest = max(largest, math.Abs(v))
	}
	return max(1e-9*sigma, 0x1p-48*largest, 1e-300)
}
