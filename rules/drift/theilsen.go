package drift

import (
	"fmt"
	"slices"

	"plumbrule/rules/figure"
)

// RobustLine is a straight line that a few bad points cannot turn, with an interval that supposes nothing about the
// distribution of the scatter. [TheilSen] and [TheilSenExact] make one.
type RobustLine struct {
	N     int
	Pairs int // pairs of points with different x, whose slopes are counted
	// Slope is the median of the slopes of all Pairs; Intercept the median of y − Slope·x.
	Slope, Intercept float64
	// Lower and Upper hold the true slope at the level asked for. Absent together if there are too few points for it.
	Lower, Upper Figure
}

// mostPoints bounds the memory for the slopes of all pairs: 12.5 million of them, 100 MB.
const mostPoints = 5000

// TheilSen returns the median slope of y over x with its interval at about the two-sided level, 0.5 … 0.9999, by the
// normal approximation to Kendall's distribution, rounded to the wider interval. Points of equal x make no pair. Equal
// values of y are left as they are: where rounding makes them, the interval holds more often than the level says, never
// less.
//
// An error is returned for fewer than 3 points or more than 5000, slices of different lengths, a number that is not
// finite, an x that is the same for all points, and another level.
//
// Source: Sen (1968), J. American Statistical Association 63, 1379–1389; the intercept is that for which the median
// residual is 0.
func TheilSen(x, y []float64, level float64) (RobustLine, error) {
	r, slopes, err := pairwise(x, y, level)
	if err != nil {
		return RobustLine{}, err
	}
	r.bound(slopes, outsideApproximately(r.N, r.Pairs, tied(x), level), level)
	return r, nil
}

// TheilSenExact is [TheilSen] with the interval by Kendall's exact distribution: the shortest one of two pairwise slopes
// that holds with at least the level, which for few points is shorter than the approximate one, and there is one from 4
// points at 90 % and from 5 at 95 %. An error is also returned for more than 50 points and for equal x, which that
// distribution does not provide for.
//
// Source: Hollander and Wolfe (1999), Nonparametric Statistical Methods, 9.3.
func TheilSenExact(x, y []float64, level float64) (RobustLine, error) {
	r, slopes, err := pairwise(x, y, level)
	if err != nil {
		return RobustLine{}, err
	}
	if r.N > mostExact || len(tied(x)) > 0 {
		return RobustLine{}, fmt.Errorf("%d points at %d different x, expected at most %d points, all at different x; use the approximation", r.N, distinct(x), mostExact)
	}
	r.bound(slopes, outsideExact(r.N, (1-level)/2), level)
	return r, nil
}

// pairwise returns the line without its interval, and the slopes in order.
func pairwise(x, y []float64, level float64) (RobustLine, []float64, error) {
	if err := checkPairs(x, y, 3); err != nil {
		return RobustLine{}, nil, err
	}
	if err := checkLevel(level); err != nil {
		return RobustLine{}, nil, err
	}
	n := len(x)
	if n > mostPoints {
		return RobustLine{}, nil, fmt.Errorf("%d points, expected at most %d; use the latest of them", n, mostPoints)
	}
	slopes := make([]float64, 0, n*(n-1)/2)
	for i := range n {
		for j := range i {
			if x[i] == x[j] {
				continue
			}
			slope := (y[i] - y[j]) / (x[i] - x[j])
			if err := checkNumber(fmt.Sprintf("the slope from the points at index %d and %d is", j, i), slope); err != nil {
				return RobustLine{}, nil, err
			}
			slopes = append(slopes, slope)
		}
	}
	if len(slopes) == 0 {
		return RobustLine{}, nil, fmt.Errorf("x is %g for all %d points, expected at least two different values", x[0], n)
	}
	slices.Sort(slopes)
	r := RobustLine{N: n, Pairs: len(slopes), Slope: median(slopes)}
	rests := make([]float64, n)
	for i := range rests {
		rests[i] = y[i] - float64(r.Slope*x[i])
	}
	slices.Sort(rests)
	r.Intercept = median(rests)
	return r, slopes, nil
}

// bound takes the outside-th slope from either end.
func (r *RobustLine) bound(slopes []float64, outside int, level float64) {
	if outside < 1 {
		r.Lower = figure.Absentf("%d points are too few for an interval at %g without an assumption on their distribution", r.N, level)
		r.Upper = r.Lower
		return
	}
	r.Lower, r.Upper = figure.Known(slopes[outside-1]), figure.Known(slopes[len(slopes)-outside])
}

// median of sorted values.
func median(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	return sorted[n/2-1] + (sorted[n/2]-sorted[n/2-1])/2
}
