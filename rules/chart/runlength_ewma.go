package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
)

// leastWeight is the smallest weight that average run lengths are computed for.
const leastWeight = 0.001

// averageRunLength is that of an EWMA, sigma 1 and centre 0.
func averageRunLength(s Scheme, shift float64) (float64, error) {
	if s.Weight < leastWeight {
		return 0, fmt.Errorf("a weight of %v; average run lengths are computed from %v on", s.Weight, leastWeight)
	}
	w := weighted{weight: s.Weight, shift: shift}
	end := s.Width * math.Sqrt(s.Weight/(2-s.Weight))
	nodes := int(2*2*end/s.Weight) + 15 // two for each standard deviation of the next average
	if nodes > maxNodes {
		return 0, fmt.Errorf("a width of %v standard deviations; average run lengths are computed for narrower limits", s.Width)
	}
	settled := newRule(-end, end, nodes)
	lengths, err := w.lengths(settled)
	if err != nil {
		return 0, err
	}
	if s.Fixed {
		return 1 + settled.integrate(func(j int) float64 { return lengths[j] * w.density(0, settled.at[j]) }), nil
	}
	sum, fade := 1.0, 1.0
	before, density := rule{at: []float64{0}, weight: []float64{1}}, []float64{1}
	for {
		fade *= (1 - s.Weight) * (1 - s.Weight)
		half := end * math.Sqrt(1-fade)
		now := newRule(-half, half, nodes)
		density = w.move(before, density, now)
		survival := now.integrate(func(j int) float64 { return density[j] })
		if fade < 1e-11 { // the limits have settled to eleven digits
			return sum + now.integrate(func(j int) float64 { return density[j] * lengths[j] }), nil
		}
		if sum += survival; survival < 1e-16*sum {
			return sum, nil
		}
		before = now
	}
}

// weighted is the random walk of the average.
type weighted struct{ weight, shift float64 }

// density is that of the next average at to after an average of from.
func (w weighted) density(from, to float64) float64 {
	return normalDensity((to-(1-w.weight)*from)/w.weight-w.shift) / w.weight
}

// lengths solves L(z) = 1 + ∫ L(y)·density(z, y) dy at the nodes.
func (w weighted) lengths(r rule) ([]float64, error) {
	n := len(r.at)
	system, ones := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for i, from := range r.at {
		for j, to := range r.at {
			system.Set(i, j, -r.weight[j]*w.density(from, to))
		}
		system.Set(i, i, 1+system.At(i, i))
		ones.SetVec(i, 1)
	}
	var solution mat.VecDense
	if err := solution.SolveVec(system, ones); err != nil {
		return nil, errTooLong()
	}
	return solution.RawVector().Data, nil
}

// move returns the density of the average after a further point.
func (w weighted) move(before rule, density []float64, now rule) []float64 {
	out := make([]float64, len(now.at))
	for j, to := range now.at {
		for i, from := range before.at {
			out[j] += before.weight[i] * density[i] * w.density(from, to)
		}
	}
	return out
}

// maxNodes bounds the size of the linear systems.
const maxNodes = 1500

// rule is a Gauss-Legendre quadrature.
type rule struct{ at, weight []float64 }

func newRule(low, high float64, nodes int) rule {
	r := rule{make([]float64, nodes), make([]float64, nodes)}
	quad.Legendre{}.FixedLocations(r.at, r.weight, low, high)
	return r
}

func (r rule) integrate(f func(node int) float64) float64 {
	sum := 0.0
	for j, weight := range r.weight {
		sum += weight * f(j)
	}
	return sum
}

// normalDensity is that of a standard normal value, 0 where it cannot matter.
func normalDensity(x float64) float64 {
	if x < -12 || x > 12 {
		return 0
	}
	return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
}
