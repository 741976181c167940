package chart

import (
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// law returns the distribution of the estimate of sigma from a baseline with a
// spread. It is prepared only where somebody asks.
func (e *engine) law(first, end int) law {
	switch {
	case e.kind.sampled():
		if e.kind == KindMeanDeviation && e.settings.Widened {
			return e.pooledLaw(first, end)
		}
		if !e.settings.Widened && end-first >= e.settings.minimum() {
			return nil
		}
		return e.samplesLaw(first, end)
	case !e.settings.Widened:
		return nil
	case e.settings.spread() == SpreadDeviation:
		return student(end - first - 1)
	}
	return movingRangeLaw(end - first)
}

// widened returns how far widened limits lie from the centre, over
// √(1/n + 1/readings).
func (e *engine) widened(g ground, first, end int) float64 {
	sigma := g.sigma
	if e.kind == KindMeanDeviation {
		sigma = e.pooledDeviation(first, end)
	}
	return factor(g.law) * sigma
}

// pooledLaw is that of the root of the pooled variance within samples.
func (e *engine) pooledLaw(first, end int) law {
	freedom := 0
	for _, s := range e.samples[first:end] {
		freedom += len(s) - 1
	}
	return student(freedom)
}

// pooledDeviation returns the root of the pooled variance within samples.
func (e *engine) pooledDeviation(first, end int) float64 {
	largest := slices.Max(e.spreads[first:end])
	squares, freedom := 0.0, 0
	for i := first; i < end; i++ {
		r := e.spreads[i] / largest
		f := len(e.samples[i]) - 1
		squares += float64(float64(f) * r * r)
		freedom += f
	}
	return largest * math.Sqrt(squares/float64(freedom))
}

// samplesLaw is that of the weighted mean of ranges or standard deviations, by
// the product of their characteristic functions: exact but for the integration,
// which is good to at least six decimals of a factor on sigma.
func (e *engine) samplesLaw(first, end int) law {
	counts, weights, freedom := map[int]int{}, 0.0, 0
	for _, s := range e.samples[first:end] {
		counts[len(s)]++
		weights += e.factorsOf(len(s)).weight()
		freedom += len(s) - 1
	}
	if freedom == 1 {
		return oneDifference{}
	}
	sizes := make([]int, 0, len(counts))
	for n := range counts {
		sizes = append(sizes, n)
	}
	slices.Sort(sizes) // the order of a product decides its last digit
	var parts []sampleTransform
	for _, n := range sizes {
		f := e.factorsOf(n)
		share := f.weight() / weights / f.mean
		parts = append(parts, e.sampleTransform(n, counts[n], share, transformReach(freedom)*share))
	}
	return newTransform(freedom, 1/math.Sqrt(weights), func(u float64) float64 {
		product := complex(1, 0)
		for _, p := range parts {
			product *= p.at(u)
		}
		return imag(product)
	})
}

// oneDifference is the law of the absolute difference of two values over d2(2),
// a standard deviation of one degree of freedom times √(π/2).
type oneDifference struct{}

func (oneDifference) tail(factor float64) float64 {
	return student(1).tail(factor * math.Sqrt(math.Pi/2))
}

// sampleTransform is the characteristic function of the dispersion of samples
// of one size: values and probabilities of a quadrature.
type sampleTransform struct {
	count        int
	share        float64 // of each in the estimate
	values, mass []float64
}

func (e *engine) sampleTransform(n, count int, share, frequency float64) sampleTransform {
	f := e.factorsOf(n)
	low, high := max(0, f.mean-9*f.deviation), f.mean+9*f.deviation
	nodes := 60 + int(frequency*(high-low)/2)
	t := sampleTransform{count, share, make([]float64, nodes), make([]float64, nodes)}
	quad.Legendre{}.FixedLocations(t.values, t.mass, low, high)
	density := deviationDensity(n)
	if e.kind == KindMeanRange {
		density = rangeDensity(n)
	}
	for i, w := range t.values {
		t.mass[i] *= density(w)
	}
	return t
}

func (t sampleTransform) at(u float64) complex128 {
	var re, im float64
	for i, w := range t.values {
		sin, cos := math.Sincos(u * t.share * w)
		re += t.mass[i] * cos
		im += t.mass[i] * sin
	}
	return cmplx.Pow(complex(re, im), complex(float64(t.count), 0))
}

// deviationDensity is that of the standard deviation of n standard normal
// values, a chi distribution with n-1 degrees of freedom over √(n-1), at s > 0.
func deviationDensity(n int) func(s float64) float64 {
	f := float64(n - 1)
	gamma, _ := math.Lgamma(f / 2)
	constant := f/2*math.Log(f) - (f/2-1)*math.Ln2 - gamma
	return func(s float64) float64 {
		return math.Exp(constant + (f-1)*math.Log(s) - f*s*s/2)
	}
}
