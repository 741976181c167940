package growth

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// grid is in how many steps the range of paths is followed. Between the places the curve strays from the straight line
// by far less than the uncertainty of either.
const grid = 32

// envelope returns the lowest straight line constant + slope·x, neither part negative, over the half-widths that hold one
// further error with the probability coverage, from the shortest to the longest x. Lowest means at the mean of x.
//
// A further error at x differs from the line by its own spread and by the uncertainty of the line; divided by the
// estimate of that it is taken to follow Student's t with n−2 degrees of freedom.
func (s sample) envelope(l line, sd spread, coverage, shortest, longest float64) (constant, slope float64) {
	nu := float64(len(s.x) - 2)
	var x, q [grid + 1]float64
	for i := range x {
		x[i] = shortest + (longest-shortest)*float64(i)/grid
		own := sd.at(x[i])
		q[i] = halfWidth(l.at(x[i]), math.Sqrt(float64(own*own)+l.variance(x[i])), nu, coverage)
	}
	// The edge of the upper hull that passes over the mean, 1, has the steepest line to its left below all others.
	best := math.Inf(1)
	for i := range x {
		for j := range i {
			if x[j] > 1 || x[i] < 1 {
				continue
			}
			b := (q[i] - q[j]) / (x[i] - x[j])
			a := q[j] - float64(b*x[j])
			if a+b < best && above(a, b, x[:], q[:]) {
				best, constant, slope = a+b, a, b
			}
		}
	}
	switch {
	case slope < 0:
		constant, slope = 0, 0
		for _, v := range q {
			constant = max(constant, v)
		}
	case constant < 0:
		constant, slope = 0, 0
		for i, v := range q {
			slope = max(slope, v/x[i])
		}
	}
	return constant, slope
}

func above(constant, slope float64, x, q []float64) bool {
	for i := range x {
		if constant+slope*x[i] < q[i]*(1-1e-12) {
			return false
		}
	}
	return true
}

// halfWidth returns q such that |mean + se·T| ≤ q with the probability coverage, T being Student's t.
func halfWidth(mean, se, nu, coverage float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}
	// Between the factor for one side, right when the other is out of reach, and that for two, right for a mean of 0.
	low := math.Abs(mean) + float64(se*studentQuantile(2*coverage-1, nu))
	high := math.Abs(mean) + float64(se*studentQuantile(coverage, nu))
	return root(low, high, func(q float64) float64 { return t.CDF((q-mean)/se) - t.CDF((-q-mean)/se) - coverage })
}
