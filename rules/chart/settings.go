package chart

import (
	"fmt"
	"math"
)

func (s Settings) minimum() int {
	if s.Minimum == 0 {
		return DefaultMinimum
	}
	return s.Minimum
}

// baseline returns how many of the points of a segment the limits rest on.
func (s Settings) baseline(points int) int {
	if s.Baseline == 0 {
		return points
	}
	return min(points, s.Baseline)
}

// check refuses settings that contradict themselves or the kind of chart.
func (s Settings) check(kind Kind) error {
	if s.Kind != "" && s.Kind != kind {
		return fmt.Errorf("settings for a chart of kind %q; expected %q", s.Kind, kind)
	}
	if s.Baseline < 0 || s.Baseline == 1 {
		return fmt.Errorf("a baseline of %d points; expected 0 for all, or at least 2", s.Baseline)
	}
	if s.Minimum < 0 {
		return fmt.Errorf("a minimum baseline of %d points; expected 0 for the default of %d, or more", s.Minimum, DefaultMinimum)
	}
	previous := -1
	for _, at := range s.Restart {
		if at <= previous {
			return fmt.Errorf("restart at index %d; expected ascending indexes from 0", at)
		}
		previous = at
	}
	if g := s.Given; g != nil && !(g.Sigma > 0 && finite(g.Centre, g.Sigma)) {
		return fmt.Errorf("given centre %v and sigma %v; expected finite numbers and a sigma above 0", g.Centre, g.Sigma)
	}
	if s.Spread != "" && s.Spread != SpreadMovingRange && s.Spread != SpreadDeviation {
		return fmt.Errorf("spread %q; expected %q or %q", s.Spread, SpreadMovingRange, SpreadDeviation)
	}
	if s.Widened && !kind.shewhart() {
		return fmt.Errorf("widened limits for a chart of kind %q; no exact factor is known for it: take a longer baseline or give centre and sigma", kind)
	}
	if err := s.Scheme().check(); err != nil {
		return err
	}
	return s.Tests.check()
}

// checkRestarts refuses restarts that no point answers to.
func (s Settings) checkRestarts(points int) error {
	for _, at := range s.Restart {
		if at >= points {
			return fmt.Errorf("restart at index %d; expected ascending indexes from 0 to %d", at, points-1)
		}
	}
	return nil
}

// spread returns how single values yield sigma.
func (s Settings) spread() Spread {
	if s.Spread == "" {
		return SpreadMovingRange
	}
	return s.Spread
}

// finite reports that every number is neither infinite nor NaN.
func finite(numbers ...float64) bool {
	for _, x := range numbers {
		if !(math.Abs(x) <= math.MaxFloat64) {
			return false
		}
	}
	return true
}
