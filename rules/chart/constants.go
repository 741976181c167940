package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// maxSample bounds the sample sizes of the range factors: for larger samples
// nobody uses the range, and the integration has not been checked there.
const maxSample = 100

// RangeMean returns d2, the mean of the range of n independent standard normal
// values, for n from 2 to 100, by integration of 1-(1-Φ)ⁿ-Φⁿ over the real line
// (Tippett 1925, Biometrika 17, 364-387; printed to three decimals in ASTM E2587
// and ISO 7870-2). It is right to at least ten decimals.
func RangeMean(n int) (float64, error) {
	if err := sampleSize(n); err != nil {
		return 0, err
	}
	return rangeMean(n), nil
}

func rangeMean(n int) float64 {
	outside := func(x float64) float64 {
		above := upperTail(x)
		return 1 - math.Pow(above, float64(n)) - math.Pow(1-above, float64(n))
	}
	// The integrand is even, and below 1e-15 beyond 9 for every n allowed.
	return 2 * quad.Fixed(outside, 0, 9, 100, quad.Legendre{}, 0)
}

// RangeDeviation returns d3, the standard deviation of the range of n
// independent standard normal values, for n from 2 to 100, from the density of
// the range about its mean d2. It is right to at least nine decimals.
func RangeDeviation(n int) (float64, error) {
	if err := sampleSize(n); err != nil {
		return 0, err
	}
	return rangeDeviation(n), nil
}

func rangeDeviation(n int) float64 {
	mean, density := rangeMean(n), rangeDensity(n)
	return math.Sqrt(quad.Fixed(func(w float64) float64 {
		return (w - mean) * (w - mean) * density(w)
	}, 0, 14, 60, quad.Legendre{}, 0))
}

// rangeDensity is that of the range of n standard normal values,
// n(n-1) ∫ φ(y-w/2)·φ(y+w/2)·(Φ(y+w/2) - Φ(y-w/2))ⁿ⁻² dy over the real line.
func rangeDensity(n int) func(w float64) float64 {
	at, weight := make([]float64, 40), make([]float64, 40)
	quad.Legendre{}.FixedLocations(at, weight, 0, 6)
	return func(w float64) float64 {
		sum := 0.0
		for i, y := range at {
			sum += weight[i] * math.Exp(-y*y) * math.Pow(upperTail(y-w/2)-upperTail(y+w/2), float64(n-2))
		}
		return float64(n) * float64(n-1) / math.Pi * math.Exp(-w*w/4) * sum
	}
}

// DeviationBias returns c4, the mean of the sample standard deviation (divisor
// n-1) of n independent standard normal values, √(2/(n-1))·Γ(n/2)/Γ((n-1)/2),
// for n of 2 and more.
func DeviationBias(n int) (float64, error) {
	if n < 2 {
		return 0, fmt.Errorf("a sample of %d has no standard deviation; expected at least 2 values", n)
	}
	return deviationBias(n), nil
}

func deviationBias(n int) float64 {
	if n > 1000 {
		// Here the logarithms lose more digits than the series leaves out.
		x := 1 / float64(n)
		return 1 - x*(1.0/4+x*(7.0/32+x*19.0/128))
	}
	// Logarithms: the gamma function itself overflows above n = 340.
	whole, _ := math.Lgamma(float64(n) / 2)
	less, _ := math.Lgamma(float64(n-1) / 2)
	return math.Sqrt(2/float64(n-1)) * math.Exp(whole-less)
}

func sampleSize(n int) error {
	if n < 2 || n > maxSample {
		return fmt.Errorf("a sample size of %d; expected 2 to %d for a range", n, maxSample)
	}
	return nil
}

// rangeLimits returns the limits of a dispersion whose mean and standard
// deviation are given: D3·mean and D4·mean with D3, D4 = max(0, 1 ∓ 3·d3/d2), or
// B3 and B4 with c4 and √(1-c4²) in place of d2 and d3.
func rangeLimits(mean, deviation float64) *Limits {
	return &Limits{
		Centre: mean, Sigma: deviation,
		Lower: max(0, mean-float64(3*deviation)),
		Upper: mean + float64(3*deviation),
	}
}

func upperTail(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }
