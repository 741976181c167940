package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// maxSample bounds the sample sizes of the range factors: for larger samples
// nobody uses the range, and the integration has not been checked there.
const maxSample = 100

// MeanRange returns d2, the mean of the range of n independent standard normal
// values, for n from 2 to 100, by integration of 1-(1-Φ)ⁿ-Φⁿ over the real line
// (Tippett 1925, Biometrika 17, 364-387; printed to three decimals in ASTM E2587
// and ISO 7870-2). It is right to at least ten decimals.
func MeanRange(n int) (float64, error) {
	if err := sampleSize(n); err != nil {
		return 0, err
	}
	return meanRange(n), nil
}

func meanRange(n int) float64 {
	outside := func(x float64) float64 {
		above := upperTail(x)
		return 1 - math.Pow(above, float64(n)) - math.Pow(1-above, float64(n))
	}
	// The integrand is even, and below 1e-15 beyond 9 for every n allowed.
	return 2 * quad.Fixed(outside, 0, 9, 100, quad.Legendre{}, 0)
}

// RangeDeviation returns d3, the standard deviation of the range of n
// independent standard normal values, for n from 2 to 100, from
// E W² = 2 ∫ w·(1 - P(W ≤ w)) dw with P(W ≤ w) = n ∫ φ(x)·(Φ(x+w) - Φ(x))ⁿ⁻¹ dx.
// It is right to at least eight decimals.
func RangeDeviation(n int) (float64, error) {
	if err := sampleSize(n); err != nil {
		return 0, err
	}
	square := 2 * quad.Fixed(func(w float64) float64 {
		within := float64(n) * quad.Fixed(func(x float64) float64 {
			density := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
			return density * math.Pow(upperTail(x)-upperTail(x+w), float64(n-1))
		}, -9, 9, 150, quad.Legendre{}, 0)
		return w * (1 - within)
	}, 0, 14, 100, quad.Legendre{}, 0)
	mean := meanRange(n)
	return math.Sqrt(square - float64(mean*mean)), nil
}

// DeviationBias returns c4, the mean of the sample standard deviation (divisor
// n-1) of n independent standard normal values, √(2/(n-1))·Γ(n/2)/Γ((n-1)/2),
// for n of 2 and more.
func DeviationBias(n int) (float64, error) {
	if n < 2 {
		return 0, fmt.Errorf("a sample of %d has no standard deviation; expected at least 2 values", n)
	}
	// Logarithms: the gamma function itself overflows above n = 340.
	whole, _ := math.Lgamma(float64(n) / 2)
	less, _ := math.Lgamma(float64(n-1) / 2)
	return math.Sqrt(2/float64(n-1)) * math.Exp(whole-less), nil
}

func sampleSize(n int) error {
	if n < 2 || n > maxSample {
		return fmt.Errorf("a sample size of %d; expected 2 to %d for a range", n, maxSample)
	}
	return nil
}

// rangeLimits returns the limits of a range whose mean and standard deviation
// are given: D3·mean and D4·mean with D3, D4 = max(0, 1 ∓ 3·d3/d2).
func rangeLimits(mean, deviation float64) *Limits {
	return &Limits{
		Centre: mean, Sigma: deviation,
		Lower: max(0, mean-float64(3*deviation)),
		Upper: mean + float64(3*deviation),
	}
}

func upperTail(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }
