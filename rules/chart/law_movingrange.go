package chart

import (
	"math"
	"math/cmplx"
)

// manyRanges is the number of values from which the law of the mean moving
// range is taken as that of a standard deviation of equivalent degrees of
// freedom.
const manyRanges = 100

// movingRangeLaw is that of sigma from the mean moving range of so many values.
// Up to manyRanges it is exact but for the integration. Beyond, mean and
// variance are matched with those of a standard deviation times a constant
// (Patnaik 1950, Biometrika 37, 78-87).
func movingRangeLaw(values int) law {
	variance := movingRangeVariance(values)
	switch {
	case values == 2:
		return oneDifference{}
	case values > manyRanges:
		return newEquivalent(variance)
	}
	share := math.Sqrt(math.Pi) / 2 / float64(values-1)
	return newTransform(values-1, math.Sqrt(variance), func(u float64) float64 {
		return imag(chainTransform(values, u*share))
	})
}

// movingRangeVariance is the variance of sigma over the true sigma. Moving
// ranges have the variance 2 - 4/π; neighbours, whose differences correlate by
// -1/2, the covariance 4/π·(√3/2 + π/12) - 4/π.
func movingRangeVariance(values int) float64 {
	n := float64(values - 1)
	own := 2 - 4/math.Pi
	neighbours := 4 / math.Pi * (math.Sqrt(3)/2 + math.Pi/12 - 1)
	return (n*own + 2*(n-1)*neighbours) / (n * n) * math.Pi / 4
}

// chainTransform is E exp(iθ Σ|x_j - x_{j-1}|) over independent standard normal
// x_1 … x_n, by n-1 integrations over one x after the other. The trapezoidal
// rule needs a term for the kink of the absolute value, and since
// exp(iθ|x-y|) factors on either side of the kink, running sums do each
// integration in one sweep.
func chainTransform(values int, theta float64) complex128 {
	const end = 8.5 // beyond, the density is below 1e-16
	cells := 2 * int(math.Ceil(end/min(0.05, 0.3/theta)))
	width := 2 * end / float64(cells)
	density := make([]float64, cells+1)
	h := make([]complex128, cells+1)
	left := make([]complex128, cells+1)
	for i := range h {
		x := float64(i)*width - end
		density[i] = math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * width
		h[i] = complex(density[i], 0)
	}
	turn := cmplx.Exp(complex(0, theta*width))
	own := complex(1, theta*width/6) // the point itself with the term for the kink
	for range values - 1 {
		sum := complex(0, 0)
		for i, g := range h {
			left[i] = sum
			sum = turn * (sum + g)
		}
		sum = 0
		for i := cells; i >= 0; i-- {
			g := h[i]
			h[i] = complex(density[i], 0) * (left[i] + own*g + sum)
			sum = turn * (sum + g)
		}
	}
	total := complex(0, 0)
	for _, g := range h {
		total += g
	}
	return total
}

// equivalent is the law of a standard deviation over its mean c4.
type equivalent struct {
	freedom student
	bias    float64
}

// newEquivalent matches a variance of W, whose mean is 1, by bisection.
func newEquivalent(variance float64) equivalent {
	low, high := 1.0, 1e9
	bias := func(freedom float64) float64 {
		if freedom > 1000 {
			return 1 - 1/(4*freedom)
		}
		whole, _ := math.Lgamma((freedom + 1) / 2)
		less, _ := math.Lgamma(freedom / 2)
		return math.Sqrt(2/freedom) * math.Exp(whole-less)
	}
	for range 80 {
		middle := math.Sqrt(low * high)
		if c := bias(middle); (1-c)*(1+c)/(c*c) > variance {
			low = middle
		} else {
			high = middle
		}
	}
	return equivalent{student(high), bias(high)}
}

func (q equivalent) tail(factor float64) float64 { return q.freedom.tail(factor / q.bias) }
