package growth

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// mixture is what the errors say about a straight line when the shape of the spread, from constant to proportional to the
// path, is not taken as known: a line for each of the shapes, weighted by the likelihood of the shape.
//
// For a known shape a point of the line follows Student's t with n−2 degrees of freedom. Taking the best shape for the
// true one makes the interval too short, above all towards no length: with 12 checks one of 95 % held in 86 % of
// simulated cases, the mixture's in 96 %.
type mixture struct {
	lines   []line
	weights []float64
	t       distuv.StudentsT
}

func (s sample) mixture(top float64) mixture {
	m := mixture{t: distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(len(s.x) - 2)}}
	sum := 0.0
	for i := range shapes + 1 {
		sd := s.scaled(float64(i) / shapes)
		weight := math.Exp(s.restricted(sd) - top)
		if i == 0 || i == shapes { // trapezoids
			weight /= 2
		}
		l, _ := s.fit(sd)
		m.lines, m.weights = append(m.lines, l), append(m.weights, weight)
		sum += weight
	}
	for i := range m.weights {
		m.weights[i] /= sum
	}
	return m
}

// interval returns where a quantity of the line, of the given estimate and variance for each shape, lies with the
// probability level, two-sided.
func (m mixture) interval(level float64, of func(line) (estimate, variance float64)) (lower, upper float64) {
	centres, ses := make([]float64, len(m.lines)), make([]float64, len(m.lines))
	first, last := math.Inf(1), math.Inf(-1)
	reach := studentQuantile(level, m.t.Nu)
	for i, l := range m.lines {
		centre, variance := of(l)
		centres[i], ses[i] = centre, math.Sqrt(variance)
		first, last = min(first, centre-float64(reach*ses[i])), max(last, centre+float64(reach*ses[i]))
	}
	// The quantile of a mixture lies between those of its parts.
	quantile := func(p float64) float64 {
		return root(first, last, func(v float64) float64 {
			sum := -p
			for i, w := range m.weights {
				if w > 1e-8 {
					sum += w * m.t.CDF((v-centres[i])/ses[i])
				}
			}
			return sum
		})
	}
	return quantile((1 - level) / 2), quantile((1 + level) / 2)
}
