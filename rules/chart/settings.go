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

// bounds returns the starts of the segments and the end of the last.
func (s Settings) bounds(points int) []int {
	bounds := []int{0}
	for _, at := range s.Restart {
		if at > 0 {
			bounds = append(bounds, at)
		}
	}
	return append(bounds, points)
}

// check refuses settings and values that no chart can be drawn from.
func (s Settings) check(kind Kind, values []float64) error {
	if s.Kind != "" && s.Kind != kind {
		return fmt.Errorf("settings for a chart of kind %q; expected %q", s.Kind, kind)
	}
	if len(values) == 0 {
		return fmt.Errorf("no values; expected at least one")
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("value %v at index %d; expected a finite number", v, i)
		}
	}
	if s.Baseline < 0 || s.Baseline == 1 {
		return fmt.Errorf("a baseline of %d points; expected 0 for all, or at least 2", s.Baseline)
	}
	if s.Minimum < 0 {
		return fmt.Errorf("a minimum baseline of %d points; expected 0 for the default of %d, or more", s.Minimum, DefaultMinimum)
	}
	previous := -1
	for _, at := range s.Restart {
		if at <= previous || at >= len(values) {
			return fmt.Errorf("restart at index %d; expected ascending indexes from 0 to %d", at, len(values)-1)
		}
		previous = at
	}
	if g := s.Given; g != nil && !(g.Sigma > 0 && !math.IsInf(g.Sigma, 0) && !math.IsNaN(g.Centre) && !math.IsInf(g.Centre, 0)) {
		return fmt.Errorf("given centre %v and sigma %v; expected finite numbers and a sigma above 0", g.Centre, g.Sigma)
	}
	return s.Tests.check()
}
