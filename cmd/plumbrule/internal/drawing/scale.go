package drawing

import (
	"fmt"
	"math"
	"strconv"
)

// scale is the value axis of one panel.
type scale struct {
	low, high float64
	mpe       bool // the lines at ±MPE lie inside
}

// mpeReach is how many times the lines at ±MPE may widen the value axis; wider
// ones would press the chart flat and are told in words instead.
const mpeReach = 4

// newScale spans the points and lines of a field, and ±MPE if it has one.
func newScale(f field) (scale, error) {
	s := scale{low: math.Inf(1), high: math.Inf(-1)}
	take := func(v float64) { s.low, s.high = min(s.low, v), max(s.high, v) }
	for _, t := range f.traces {
		for _, p := range t.points {
			take(t.at(p))
		}
	}
	for _, piece := range f.pieces {
		for _, line := range piece.lines {
			take(line.at)
		}
	}
	mpe := f.mpe
	if mpe != nil {
		low, high := min(s.low, -*mpe), max(s.high, *mpe)
		if span := s.high - s.low; span == 0 || high-low <= mpeReach*span {
			s.low, s.high, s.mpe = low, high, true
		}
	}
	// A span near the noise of the arithmetic is drawn as no span at all.
	if s.high-s.low <= max(1e-12*max(math.Abs(s.low), math.Abs(s.high)), 1e-290) {
		pad := math.Abs(s.low) / 20
		if pad < 1e-290 {
			pad = 1
		}
		s.low, s.high = s.low-pad, s.high+pad
	}
	span := s.high - s.low
	if math.IsInf(span, 0) || math.IsNaN(span) {
		return s, fmt.Errorf("values from %g to %g: too wide to draw", s.low, s.high)
	}
	s.low, s.high = s.low-0.06*span, s.high+0.06*span
	if f.positive {
		s.low = max(s.low, 0)
	}
	return s, nil
}

// at returns the place of a value between 0, the bottom, and 1.
func (s scale) at(v float64) float64 { return (v - s.low) / (s.high - s.low) }

// tick is a labelled place on an axis.
type tick struct {
	at    float64
	label string
}

// ticks returns round values inside the scale, at most about count of them.
func (s scale) ticks(count int) []tick {
	step := nice((s.high - s.low) / float64(count))
	var out []tick
	// The hair of tolerance keeps a tick that falls on a border.
	for k := math.Ceil(s.low/step - 1e-9); k*step <= s.high+1e-9*step; k++ {
		out = append(out, tick{k * step, figure(k*step, step)})
	}
	return out
}

// nice returns the smallest of 1, 2, 5 times a power of ten not below rough.
func nice(rough float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, factor := range []float64{1, 2, 5} {
		// A hair of tolerance keeps 0.30000000000000004 from becoming 0.5.
		if factor*power >= rough*(1-1e-9) {
			return factor * power
		}
	}
	return 10 * power
}

// figure prints a value with the decimals that step needs; very large and very
// small steps get an exponent.
func figure(v, step float64) string {
	places := int(math.Floor(math.Log10(step) + 1e-9))
	if math.Abs(v) < step/1e6 {
		v = 0 // no negative zero, no leftover of k*step
	}
	if v == 0 && (places < -7 || places > 5) {
		return "0"
	}
	if places < -7 || places > 5 {
		digits := max(0, int(math.Floor(math.Log10(math.Abs(v))))-places)
		return strconv.FormatFloat(v, 'e', min(digits, 16), 64)
	}
	text := strconv.FormatFloat(v, 'f', max(0, -places), 64)
	if zero, err := strconv.ParseFloat(text, 64); err == nil && zero == 0 && text[0] == '-' {
		return text[1:]
	}
	return text
}

// bound prints a maximum permissible error with at most six digits: it may come
// out of a sum, whose last bits are noise.
func bound(mpe float64) string { return strconv.FormatFloat(mpe, 'g', 6, 64) }

// fine returns a printer of single figures, two digits finer than the ticks.
func (s scale) fine() func(float64) string {
	step := math.Pow(10, math.Floor(math.Log10((s.high-s.low)/5)+1e-9)) / 100
	return func(v float64) string { return figure(v, step) }
}
