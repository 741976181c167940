package chart

import (
	"fmt"
	"math"
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

// note is a warning before it is known how the segments lie.
type note struct {
	code     Code
	sentence string
}

// warnings collects the notes of all segments.
func (e *engine) warnings() []Warning {
	var out []Warning
	for i, g := range e.grounds {
		for _, n := range g.notes {
			sentence := n.sentence
			if len(e.grounds) > 1 {
				s := e.chart.Segments[i]
				sentence = fmt.Sprintf("segment %d (%s): %s", i+1, span(s.First, s.Last), sentence)
			}
			out = append(out, Warning{n.code, i, sentence})
		}
	}
	return out
}

// notes says what there is to say about the ground of the last segment.
func (e *engine) notes(g ground) []note {
	if g.count == 0 {
		return nil
	}
	var out []note
	add := func(code Code, format string, args ...any) {
		out = append(out, note{code, fmt.Sprintf(format, args...)})
	}
	switch {
	case g.readings < 2:
		add(NoLimits, "no limits: one point shows no spread; limits need at least 2 points")
		return out
	case g.sigma == 0 && e.kind.sampled():
		add(NoSpread, "no limits: the readings within each of the %d baseline samples do not differ; limits need values read finely enough to differ", g.count)
		return out
	case g.sigma == 0:
		add(NoSpread, "no limits: the %d baseline points all have the value %.12g; limits need values read finely enough to differ", g.count, g.centre)
		return out
	}
	if least := e.settings.minimum(); g.count < least {
		add(ShortBaseline, "provisional limits: they rest on %s, fewer than %d; %s", e.restsOn(g), least, e.consequence(g))
	}
	if g.count < e.settings.Baseline {
		add(OpenBaseline, "provisional limits: %d of %d baseline points are there; the limits move until the baseline is complete",
			g.count, e.settings.Baseline)
	}
	if g.step > 0 {
		add(CoarseResolution, "the resolution dominates: the %s take %d different values, at least %.3g apart, while the estimated "+
			"standard deviation is %.3g; limits and signals follow the rounding more than the process",
			e.baselineValues(g), g.distinct, g.step, g.sigma)
	}
	return out
}

func (e *engine) restsOn(g ground) string {
	if e.kind.sampled() {
		return fmt.Sprintf("%s (%d readings)", samples(g.count), g.readings)
	}
	return points(g.count)
}

func (e *engine) baselineValues(g ground) string {
	if e.kind.sampled() {
		return fmt.Sprintf("%d baseline readings", g.readings)
	}
	return fmt.Sprintf("%d baseline points", g.count)
}

func samples(n int) string {
	if n == 1 {
		return "1 sample"
	}
	return fmt.Sprintf("%d samples", n)
}

// consequence says what a short baseline means for the next point.
func (e *engine) consequence(g ground) string {
	switch {
	case e.settings.Widened:
		return "being widened for that, they raise a false alarm at the next point with the intended probability of 0.27 %"
	case !e.kind.shewhart():
		return e.runLengthConsequence(g)
	case e.kind.sampled():
		size := e.course.now.size
		return fmt.Sprintf("a three-sigma limit estimated from them raises a false alarm at the next mean of %d with a probability of %s, not the intended 0.27 %%",
			size, percent(g.law.tail(3/math.Sqrt(1+float64(size)/float64(g.readings)))))
	}
	exact := "at least "
	if e.settings.spread() == SpreadDeviation {
		exact = ""
	}
	return fmt.Sprintf("a three-sigma limit estimated from %s raises a false alarm at the next point with a probability of %s%s, not the intended 0.27 %%",
		points(g.count), exact, percent(falseAlarm(g.count)))
}

// runLengthConsequence tells what a centre off by its own standard error does
// to the average run length; the error of sigma comes on top.
func (e *engine) runLengthConsequence(g ground) string {
	off := 1 / math.Sqrt(float64(g.count))
	known, ok := e.runLength(0)
	short, also := e.runLength(off)
	if !ok || !also {
		return fmt.Sprintf("a centre estimated from %s is off by %.2f sigma on average (root mean square)", points(g.count), off)
	}
	settled := ""
	if e.kind == KindEWMA {
		settled = " once the limits have settled"
	}
	return fmt.Sprintf("a centre estimated from %s is off by %.2f sigma (root mean square), and so far off a process in control "+
		"raises a false alarm every %.0f points on average%s, not every %.0f", points(g.count), off, short, settled, known)
}

// leastTold is the weight below which a warning does without average run
// lengths, which would take longer than the chart.
const leastTold = 0.05

// runLength remembers the average run lengths of the chart.
func (e *engine) runLength(shift float64) (float64, bool) {
	length, ok := e.lengths[shift]
	if !ok && (e.kind != KindEWMA || e.scheme.Weight >= leastTold) {
		scheme := e.scheme
		scheme.Fixed = true                  // which takes a hundredth of the time
		length, _ = RunLength(scheme, shift) // 0 stands for no value
		e.lengths[shift] = length
	}
	return length, length > 0
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
