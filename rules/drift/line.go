package drift

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/figure"
)

// Line is a straight line fitted by least squares, with what its trustworthiness rests on. [Fit] makes one; the zero
// value has no use. Standard errors and bands suppose that the points scatter about a straight line independently, all
// with the same standard deviation.
type Line struct {
	N int
	// Intercept is the line at x = 0 and AtMean the line at XMean, the mean of x. With dates, x = 0 lies far outside the
	// points and Intercept means little; AtMean keeps all its digits.
	Intercept, XMean, AtMean float64
	Slope                    float64 // unit of y per unit of x
	ResidualSD               float64 // with N−2 degrees of freedom; 0 if Exact
	InterceptSE, SlopeSE     float64 // standard errors; 0 if Exact
	// Exact says that every point lies on the line but for rounding. That shows no scatter, so there are no bands.
	Exact bool
	// RSquared is the part of the variation of y that the line accounts for, 0 … 1; absent if y does not vary.
	RSquared Figure
	Residual Residual

	sxx float64
}

// Fit draws the least-squares line of y over x; the points may come in any order.
//
// An error is returned for fewer than 3 points, slices of different lengths, a number that is not finite or beyond 1e40
// in magnitude, and an x that is the same for all points but for rounding.
func Fit(x, y []float64) (Line, error) {
	if err := checkPairs(x, y, 3); err != nil {
		return Line{}, err
	}
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case x[a] < x[b]:
			return -1
		case x[a] > x[b]:
			return 1
		default:
			return 0
		}
	})
	n := len(x)
	first, last := x[order[0]], x[order[n-1]]
	if last-first <= noise*max(math.Abs(first), math.Abs(last)) {
		return Line{}, fmt.Errorf("x is %g for all %d points, expected at least two different values", first, n)
	}
	l := Line{N: n}
	dx, dy := make([]float64, n), make([]float64, n)
	for i, from := range order {
		dx[i], dy[i] = x[from], y[from]
	}
	l.XMean, l.AtMean = centre(dx), centre(dy)
	l.sxx = dot(dx, dx)
	if l.sxx < smallestSquare {
		return Line{}, fmt.Errorf("x spans %g only, expected more than 1e-40; use a smaller unit", last-first)
	}
	l.Slope = dot(dx, dy) / l.sxx
	l.Intercept = l.AtMean - float64(l.Slope*l.XMean)
	residuals := make([]float64, n)
	for i := range residuals {
		residuals[i] = dy[i] - float64(l.Slope*dx[i])
	}
	total, left := dot(dy, dy), dot(residuals, residuals)
	magnitude := 0.0
	for _, v := range y {
		magnitude = max(magnitude, math.Abs(v))
	}
	level := noise * magnitude
	if total <= max(smallestSquare, float64(n)*level*level) {
		l.RSquared = figure.Absentf("y is the same for all %d points", n)
		l.Slope, l.Intercept, left = 0, l.AtMean, 0
	} else {
		l.RSquared = figure.Known(max(0, 1-left/total))
	}
	if left <= max(smallestSquare, float64(n)*level*level) {
		l.Exact = true
		l.Residual = noResidual("the points show no scatter about the line")
		return l, nil
	}
	l.ResidualSD = math.Sqrt(left / float64(n-2))
	l.SlopeSE = l.ResidualSD / math.Sqrt(l.sxx)
	l.InterceptSE = l.ResidualSD * math.Sqrt(1/float64(n)+float64(l.XMean*l.XMean)/l.sxx)
	l.Residual = examine(residuals, dx, l.sxx)
	return l, nil
}

// At returns the fitted line at x, in the unit of y.
func (l Line) At(x float64) float64 { return l.AtMean + float64(l.Slope*(x-l.XMean)) }

// noise is the part of a number's magnitude that decimal writing and arithmetic may have added: sixteen units in the
// last place.
const noise = 0x1p-48

// smallestSquare is a sum of squares that nobody measures; its reciprocal stays in range.
const smallestSquare = 1e-80

// centre takes the mean off values and returns it. The second pass recovers the digits that a large common offset costs.
func centre(values []float64) float64 {
	n := float64(len(values))
	rough := values[0]
	for i := range values {
		values[i] -= rough
	}
	rest := total(values) / n
	for i := range values {
		values[i] -= rest
	}
	return rough + rest
}

func total(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += float64(a[i] * b[i])
	}
	return sum
}
