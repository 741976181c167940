package chart

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// law is the distribution of an estimated sigma over the true one, W.
type law interface {
	// tail returns P(|Z| > factor·W) for a standard normal Z independent of W:
	// the probability that a value off by Z passes a limit of factor·sigma.
	tail(factor float64) float64
}

// student is the law of a standard deviation with so many degrees of freedom.
type student float64

func (f student) tail(factor float64) float64 {
	if f > manyFreedom {
		return 2 * distuv.UnitNormal.CDF(-factor)
	}
	return 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f)}.CDF(-factor)
}

// falseAlarmRate is the probability that widened limits keep.
const falseAlarmRate = 0.0027

// factor returns the factor at which the tail of a law is falseAlarmRate. The
// tail falls from 1 to 0, and a law of one degree of freedom needs about 236.
func factor(l law) float64 {
	low, high := 0.0, 512.0
	for range 64 {
		middle := (low + high) / 2
		if l.tail(middle) > falseAlarmRate {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// transform is a law by the characteristic function φ of W:
//
//	P(|Z| > c·W) = 1 - 2/π ∫₀^∞ exp(-u²/2c²)·Im φ(u)/u du,
//
// since P(|Z| ≤ c·w) is the transform of the normal density over the interval.
type transform struct{ at, weighted []float64 } // u, and weight·Im φ(u)/u

func (t transform) tail(factor float64) float64 {
	sum := 0.0
	for i, u := range t.at {
		r := u / factor
		sum += t.weighted[i] * math.Exp(-r*r/2)
	}
	return 1 - 2/math.Pi*sum
}

// newTransform integrates a characteristic function for factors up to half as
// much again as Student's t with the same lowest power of the density asks for;
// scatter is the standard deviation of W.
func newTransform(freedom int, scatter float64, imaginary func(u float64) float64) transform {
	reach := transformReach(freedom)
	// Gauss-Legendre resolves sin(uW) with two nodes for each radian up to a W
	// that is practically never passed.
	nodes := 60 + int(reach*(1+6*scatter)/2)
	t := transform{make([]float64, nodes), make([]float64, nodes)}
	quad.Legendre{}.FixedLocations(t.at, t.weighted, 0, reach)
	for i, u := range t.at {
		t.weighted[i] *= imaginary(u) / u
	}
	return t
}

// transformReach is where exp(-u²/2c²) has faded for every factor c of interest.
func transformReach(freedom int) float64 {
	return 8 * 1.5 * max(3, quantile(1-falseAlarmRate/2, float64(freedom)))
}
