package main

import (
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"
)

// believedFor is how many current intervals ahead a line is believed. Common practice in extending intervals, no source: a
// line that is nearly level meets its limit in a century, and nobody means that.
const believedFor = 2

// chart is the method of the control chart for one limit.
func (r *intervalReview) chart(limit, currentMonths float64) interval.ControlChart {
	return interval.ControlChart{Limit: limit, Confidence: r.o.level.value, Bounds: interval.Bounds{MaxMonths: believedFor * currentMonths}}
}

// recordedDrift is the line of a device's checks whose prediction band meets its limit first, and of lines that do not meet
// one, the first.
func (r *intervalReview) recordedDrift(d *rules.Device) (line interval.Line, limit float64, why string) {
	level := r.o.level.value
	trends, err := rules.TrendsOf(r.set, r.at, r.options, d.ID, rules.TrendQuestion{Level: level, Horizon: quantity.Interval{Months: defaultHorizonMonths}})
	if err != nil {
		return line, 0, err.Error()
	}
	lines, why := rules.LinesSince(trends, d.Calibration.Last, zoneOf(r.set))
	if len(lines) == 0 {
		why, _, _ = strings.Cut(why, "; ")
		return line, 0, "There is no line of checks: " + why + "."
	}
	first, found := 0.0, false
	for i, l := range lines {
		p, err := r.chart(l.LimitUM, rules.Months(d.Calibration.Interval)).Next(1, l.Line)
		if err != nil {
			return line, 0, trendName(l.Of) + ": " + err.Error()
		}
		at, meets := proposed{Proposal: p}.figure(interval.BandMeetsLimit)
		if i > 0 && !(meets && (!found || at < first)) {
			continue
		}
		line, limit, first, found = l.Line, l.LimitUM, at, meets
		if r.lineOf == nil {
			r.lineOf = map[string]string{}
		}
		r.lineOf[d.ID] = trendName(l.Of)
	}
	return line, limit, ""
}
