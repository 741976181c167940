package chart

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// sumsRunLength is that of a CUSUM. Without a head start the sums never are
// above 0 both and one of them beyond its decision value, so that the rates of
// signals add; with one up to Decision/2 + Reference the composition of Lucas
// and Crosier 1982 still holds (here divided by the product of both lengths).
func sumsRunLength(s Scheme, shift float64) (float64, error) {
	if s.HeadStart > s.Decision/2+s.Reference {
		return 0, fmt.Errorf("a head start of %v sigma; average run lengths are computed up to half the decision value plus the reference value, %v",
			s.HeadStart, s.Decision/2+s.Reference)
	}
	high, err := oneSum(s, shift)
	if err != nil {
		return 0, err
	}
	low, err := oneSum(s, -shift)
	if err != nil {
		return 0, err
	}
	return (high.head + low.head - 1) / (high.rate + low.rate), nil
}

// oneSided is a sum alone: the reciprocal of its average run length from 0, and
// the average run length from the head start over that from 0. In these terms a
// side that practically never signals has a rate of 0 and does no harm.
type oneSided struct{ rate, head float64 }

// oneSum computes the upper sum alone, sigma 1 and target 0. With ψ(z) the
// chance to signal before the sum is next at 0, and τ(z) the average number of
// points until either, from a sum of z,
//
//	ψ(z) = P(x > h + k - z) + ∫₀^h ψ(y)·φ(y+k-z-shift) dy
//	τ(z) = 1 + ∫₀^h τ(y)·φ(y+k-z-shift) dy,
//
// the run length from 0 is τ(0)/ψ(0), that from z is τ(z) + (1-ψ(z))·τ(0)/ψ(0).
func oneSum(s Scheme, shift float64) (oneSided, error) {
	nodes := int(3*s.Decision) + 24
	if nodes > maxNodes || s.Decision > maxNodes {
		return oneSided{}, fmt.Errorf("a decision value of %v sigma; average run lengths are computed up to %d", s.Decision, (maxNodes-24)/3)
	}
	r := newRule(0, s.Decision, nodes)
	drift := s.Reference - shift
	beyond := func(z float64) float64 { return upperTail(s.Decision + drift - z) }
	density := func(z, y float64) float64 { return normalDensity(y + drift - z) }
	system := mat.NewDense(nodes, nodes, nil)
	right := mat.NewDense(nodes, 2, nil)
	for i, z := range r.at {
		for j, y := range r.at {
			system.Set(i, j, -r.weight[j]*density(z, y))
		}
		system.Set(i, i, 1+system.At(i, i))
		right.Set(i, 0, beyond(z))
		right.Set(i, 1, 1)
	}
	var solution mat.Dense
	if err := solution.Solve(system, right); err != nil {
		return oneSided{}, errTooLong()
	}
	from := func(z float64) (chance, points float64) {
		inner := func(column int) float64 {
			return r.integrate(func(j int) float64 { return solution.At(j, column) * density(z, r.at[j]) })
		}
		return beyond(z) + inner(0), 1 + inner(1)
	}
	chance, points := from(0)
	rate := chance / points
	headChance, headPoints := from(s.HeadStart)
	if s.HeadStart == 0 {
		return oneSided{rate, 1}, nil
	}
	return oneSided{rate, 1 - headChance + float64(headPoints*rate)}, nil
}
