package chart

import (
	"fmt"
	"math"
	"slices"
)

// maxRun bounds the runs whose average run length is computed.
const maxRun = 1000

// patternRunLength is the average run length of the run tests.
func patternRunLength(t Tests, shift float64) (float64, error) {
	if t == (Tests{}) {
		return 0, fmt.Errorf("no run test is selected, so nothing ever signals; expected at least one of %s", testNames())
	}
	if longest := max(t.SameSide, t.Trend, t.Alternation, t.InsideOneSigma, t.OutsideOneSigma); longest > maxRun {
		return 0, fmt.Errorf("a run of %d points; average run lengths are computed for runs of up to %d", longest, maxRun)
	}
	a, err := newAutomaton(t)
	if err != nil {
		return 0, err
	}
	a.merge()
	patience := 50 + 4*max(t.SameSide, t.Trend, t.Alternation, t.InsideOneSigma, t.OutsideOneSigma, 5)
	if a.stepped {
		c := newCarried(a, t.Trend, shift)
		return expectation(c.advance, patience, len(c.mass)*(2*c.nodes+a.zones()))
	}
	return expectation(newChain(a, shift).advance, patience, len(a.moves))
}

// pattern is all that the run tests remember of the points so far, kept at zero
// for tests that are off. It is the state of runs in terms of zones and steps.
type pattern struct {
	side, trend, alternation, inside, outside int
	lastSide, lastStep                        int
	two                                       [2]int8 // sides beyond two sigma of the last points, latest first
	five                                      [4]int8 // and beyond one sigma
}

// next returns the pattern after a point in the zone about x, a step up or down
// from the point before or without one, and whether a test signals.
func (p pattern) next(t Tests, x float64, step int) (pattern, bool) {
	signal := t.PointBeyond && math.Abs(x) > 3
	one, two := outer(x, 1), outer(x, 2)
	if t.SameSide > 0 {
		now := int(outer(x, 0))
		p.side, p.lastSide = extend(p.side, now == p.lastSide, true), now
		signal = signal || p.side >= t.SameSide
	}
	if t.Trend > 0 {
		p.trend = steps(p.trend, step != 0 && step == p.lastStep, step)
		signal = signal || p.trend >= t.Trend
	}
	if t.Alternation > 0 {
		p.alternation = steps(p.alternation, step != 0 && step == -p.lastStep, step)
		signal = signal || p.alternation >= t.Alternation
	}
	p.lastStep = step
	if t.TwoOfThree {
		signal = signal || two != 0 && slices.Contains(p.two[:], two)
		p.two = [2]int8{two, p.two[0]}
	}
	if t.FourOfFive {
		same := 0
		for _, s := range p.five {
			if s == one {
				same++
			}
		}
		signal = signal || one != 0 && same >= 3
		p.five = [4]int8{one, p.five[0], p.five[1], p.five[2]}
	}
	if t.InsideOneSigma > 0 {
		p.inside = extend(p.inside, one == 0, one == 0)
		signal = signal || p.inside >= t.InsideOneSigma
	}
	if t.OutsideOneSigma > 0 {
		p.outside = extend(p.outside, one != 0, one != 0)
		signal = signal || p.outside >= t.OutsideOneSigma
	}
	return p, signal
}

// outer returns the side on which x lies beyond so many sigma, else 0.
func outer(x, sigmas float64) int8 {
	switch {
	case x > sigmas:
		return 1
	case x < -sigmas:
		return -1
	}
	return 0
}

// cuts returns the lines that the tests distinguish, ascending, with ±Inf as
// the first and the last.
func (t Tests) cuts() []float64 {
	cuts := []float64{math.Inf(-1), math.Inf(1)}
	add := func(on bool, at float64) {
		if on {
			cuts = append(cuts, at, -at)
		}
	}
	add(t.PointBeyond, 3)
	add(t.TwoOfThree, 2)
	add(t.FourOfFive || t.InsideOneSigma > 0 || t.OutsideOneSigma > 0, 1)
	add(t.SameSide > 0, 0)
	slices.Sort(cuts)
	return slices.Compact(cuts)
}

// inZone returns a value between two cuts.
func inZone(low, high float64) float64 {
	switch {
	case math.IsInf(low, -1) && math.IsInf(high, 1):
		return 0.5
	case math.IsInf(low, -1):
		return high - 0.5
	case math.IsInf(high, 1):
		return low + 0.5
	}
	return (low + high) / 2
}

// between is the probability of a zone for a standard normal value off by shift.
func between(low, high, shift float64) float64 {
	if low >= shift {
		return upperTail(low-shift) - upperTail(high-shift)
	}
	return upperTail(shift-high) - upperTail(shift-low)
}
