package chart

import (
	"fmt"
	"strings"
)

// Code names a kind of warning.
type Code string

// The warnings a chart can carry.
const (
	// NoLimits: fewer than two baseline points, so no spread to estimate.
	NoLimits Code = "no-limits"
	// NoSpread: the baseline values are all the same, so the estimated spread is 0.
	NoSpread Code = "no-spread"
	// ShortBaseline: limits rest on fewer points than the minimum.
	ShortBaseline Code = "short-baseline"
	// OpenBaseline: the baseline is not complete yet, so limits will still move.
	OpenBaseline Code = "open-baseline"
	// CoarseResolution: the values' resolution dominates their spread.
	CoarseResolution Code = "coarse-resolution"
)

// Warning is a reservation about the limits of one segment.
type Warning struct {
	Code Code
	// Segment is the index, from 0, of the segment concerned.
	Segment int
	// Sentence says it in words, without unit.
	Sentence string
}

// warnings collects what there is to say about the baseline of a segment.
func (s Settings) warnings(segment *Segment, index int, base baseline, several bool) []Warning {
	var out []Warning
	add := func(code Code, format string, args ...any) {
		sentence := fmt.Sprintf(format, args...)
		if several {
			sentence = fmt.Sprintf("segment %d (%s): %s", index+1, span(segment.First, segment.Last), sentence)
		}
		out = append(out, Warning{code, index, sentence})
	}
	switch {
	case base.count < 2:
		add(NoLimits, "no limits: one point shows no spread; limits need at least 2 points")
		return out
	case segment.Limits == nil:
		add(NoSpread, "no limits: the %d baseline points all have the value %.12g; limits need values read finely enough to differ", base.count, base.mean)
		return out
	}
	if base.count < s.minimum() {
		add(ShortBaseline, "provisional limits: they rest on %d points, fewer than %d; a three-sigma limit estimated from %d points "+
			"raises a false alarm at the next point with a probability of at least %s, not the intended 0.27 %%",
			base.count, s.minimum(), base.count, percent(falseAlarm(base.count)))
	}
	if base.count < s.Baseline {
		add(OpenBaseline, "provisional limits: %d of %d baseline points are there; the limits move until the baseline is complete",
			base.count, s.Baseline)
	}
	if base.coarse() {
		add(CoarseResolution, "the resolution dominates: the %d baseline points take %d different values, at least %.3g apart, while the estimated "+
			"standard deviation is %.3g; limits and signals follow the rounding more than the process",
			base.count, base.distinct, base.step, base.sigma)
	}
	return out
}

func span(first, last int) string {
	if first == last {
		return fmt.Sprintf("point %d", first)
	}
	return fmt.Sprintf("points %d to %d", first, last)
}

// percent prints a probability with two significant digits, zeros kept.
func percent(p float64) string {
	text := fmt.Sprintf("%#.2g", 100*p)
	return strings.TrimSuffix(text, ".") + " %"
}
