package chart

import (
	"math"
	"slices"
)

// ground is what the limits of a segment stand on.
type ground struct {
	count    int // baseline points; 0 when centre and sigma were given
	readings int // single values in them
	centre   float64
	sigma    float64 // of a single value; 0 if no spread can be seen
	wide     float64 // half-width of widened limits of a value over √(1/n + 1/readings); 0 if not widened
	same     float64 // difference below which two values count as equal
	distinct int     // different values, when the resolution is coarse
	step     float64 // smallest difference between two of them; 0 unless the resolution is coarse
	law      law     // of the estimated sigma; nil when it was given or is 0
	notes    []note
}

// estimate measures the baseline that holds the points from first to end.
func (e *engine) estimate(first, end int) (ground, error) {
	values := e.values[first:end]
	if e.kind.sampled() {
		values = slices.Concat(e.samples[first:end]...)
	}
	g := ground{count: end - first, readings: len(values), centre: mean(values)}
	if !finite(g.centre) {
		return g, tooLarge(first, end)
	}
	if len(values) < 2 {
		return g, nil
	}
	sigma := e.sigma(first, end)
	largest := largestOf(values)
	if sigma <= rounding(0, largest) {
		return g, nil
	}
	g.sigma, g.same = sigma, rounding(sigma, largest)
	g.distinct, g.step = resolution(values, sigma, g.same)
	g.law = e.law(first, end)
	if e.settings.Widened {
		g.wide = e.widened(g, first, end)
	}
	return g, nil
}

// sigma estimates the standard deviation of a single value; 0 for one value.
func (e *engine) sigma(first, end int) float64 {
	switch {
	case e.kind.sampled():
		return e.pooled(first, end)
	case e.settings.spread() == SpreadDeviation:
		return deviation(e.values[first:end], mean(e.values[first:end]))
	}
	sum := 0.0
	for i := first + 1; i < end; i++ {
		sum += math.Abs(e.values[i] - e.values[i-1])
	}
	return sum / float64(end-first-1) * math.Sqrt(math.Pi) / 2
}

// pooled estimates sigma from the ranges or standard deviations of samples by
// the unbiased linear combination of least variance: each R/d2(n) or s/c4(n)
// with the weight d2²/d3² or c4²/(1-c4²) of its size, the reciprocal of its
// relative variance (Burr 1969, J. Quality Technology 1, 163-167; from memory).
// With equal sizes this is the mean range over d2, or the mean deviation over c4.
func (e *engine) pooled(first, end int) float64 {
	sum, weights := 0.0, 0.0
	var f factors
	for i := first; i < end; i++ {
		if n := len(e.samples[i]); i == first || n != len(e.samples[i-1]) {
			f = e.factorsOf(n)
		}
		sum += float64(f.weight() * (e.spreads[i] / f.mean))
		weights += f.weight()
	}
	return sum / weights
}

// factors are mean and standard deviation of the dispersion of a sample of
// independent normal values in units of their sigma.
type factors struct{ mean, deviation float64 }

func (f factors) weight() float64 { r := f.mean / f.deviation; return float64(r * r) }

// factorsOf returns d2 and d3, or c4 and √(1-c4²), of a size that was checked.
func (e *engine) factorsOf(n int) factors {
	f, ok := e.factors[n]
	if !ok {
		if e.kind == KindMeanRange {
			f.mean = rangeMean(n)
			f.deviation = rangeDeviation(n)
		} else {
			f.mean = deviationBias(n)
			f.deviation = math.Sqrt((1 - f.mean) * (1 + f.mean))
		}
		e.factors[n] = f
	}
	return f
}

// deviation returns the sample standard deviation about the mean of the values,
// scaled so that no square overflows or vanishes.
func deviation(values []float64, centre float64) float64 {
	largest := 0.0
	for _, v := range values {
		largest = max(largest, math.Abs(v-centre))
	}
	if largest == 0 || !finite(largest) {
		return largest
	}
	squares := 0.0
	for _, v := range values {
		d := (v - centre) / largest
		squares += float64(d * d)
	}
	return largest * math.Sqrt(squares/float64(len(values)-1))
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

func largestOf(values []float64) float64 {
	largest := 0.0
	for _, v := range values {
		largest = max(largest, math.Abs(v))
	}
	return largest
}
