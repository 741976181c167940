package chart

import (
	"fmt"
	"math"
)

// RunLength returns the average number of points until the first signal, the
// signalling point included, of a scheme that starts with its first point
// (zero-state) while independent normal values stay off the centre by shift,
// in standard deviations of the plotted single value or mean. Centre and
// standard deviation are taken as known; limits estimated from a baseline do
// worse on average. Signals of the chart of dispersion are left out.
//
// The values are exact but for the arithmetic and right to about nine digits:
// run tests by the Markov chain of their patterns (Champ and Woodall 1987,
// Technometrics 29, 393-399), extended to Trend and Alternation by carrying the
// distribution of the latest value along; EWMA by its integral equation
// (Crowder 1987, Technometrics 29, 401-407) after the limits have settled;
// CUSUM by that of one side and the composition of two sides (Lucas and Crosier
// 1982, Technometrics 24, 199-205). Most take milliseconds; the eight tests of
// Nelson together take about half a second.
//
// An error is returned for settings that contradict themselves, for a scheme
// that never signals, and where no value can be had: a pattern of too many
// states, an EWMA of a weight below 0.001, a CUSUM with a head start above
// Decision/2 + Reference (its two sides then interact), and a length above 1e12.
func RunLength(s Scheme, shift float64) (float64, error) {
	s = s.complete()
	if err := s.check(); err != nil {
		return 0, err
	}
	if !finite(shift) || math.Abs(shift) > maxShift {
		return 0, fmt.Errorf("a shift of %v standard deviations; expected a number from -%d to %d", shift, maxShift, maxShift)
	}
	var length float64
	var err error
	switch {
	case s.Kind == KindEWMA:
		length, err = averageRunLength(s, shift)
	case s.Kind == KindCUSUM:
		length, err = sumsRunLength(s, shift)
	case s.Kind.shewhart():
		length, err = patternRunLength(s.Tests, shift)
	default:
		err = fmt.Errorf("a chart of kind %q; expected one of %q", s.Kind, Kinds())
	}
	if err != nil {
		return 0, err
	}
	if !(length >= 1 && length <= maxLength) {
		return 0, errTooLong()
	}
	return length, nil
}

const (
	maxShift  = 30
	maxLength = 1e12
)

func errTooLong() error {
	return fmt.Errorf("an average run length beyond %g points; no figure is given, because rounding would decide it", maxLength)
}

// InControlRunLength returns the average number of points between false alarms
// of a chart with these settings, as RunLength does for a shift of 0: the limits
// are taken as known.
func InControlRunLength(s Settings) (float64, error) {
	if err := s.check(s.Scheme().complete().Kind); err != nil {
		return 0, err
	}
	return RunLength(s.Scheme(), 0)
}

// maxWork bounds the elementary steps spent on one average run length, some
// seconds.
const maxWork int64 = 30_000_000_000

// expectation sums the probabilities of no signal yet over the points. Advance
// adds a point, at a cost of work, and returns the probability that it is the
// first to signal. Once the hazard is steady the rest is a geometric series; it
// is not looked for before the chain has had time, patience, to forget its start.
func expectation(advance func() float64, patience, work int) (float64, error) {
	const steadySteps = 30
	sum, survival, before, steady := 0.0, 1.0, 0.0, 0
	for i := range maxWork / int64(work) {
		sum += survival
		signal := advance()
		hazard := min(1, signal/survival)
		survival *= 1 - hazard
		if survival <= 1e-16*sum {
			return sum, nil
		}
		if math.Abs(hazard-before) <= 1e-11*hazard {
			steady++
		} else {
			steady = 0
		}
		if i >= int64(patience) && steady >= steadySteps {
			return sum + survival/hazard, nil
		}
		before = hazard
	}
	return 0, errTooMany()
}

func errTooMany() error {
	return fmt.Errorf("the selected run tests take too long to compute an average run length; fewer tests or shorter runs would mend it")
}
