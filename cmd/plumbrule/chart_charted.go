package main

import (
	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/records/quantity"
	"plumbrule/rules/chart"
)

// charted is a chart with its settings, its picture and what follows from the settings.
type charted struct {
	chart.Chart
	settings chart.Settings
	picture  drawing.Picture
	groups   []string // of a chart of samples from a file: their names
	sizes    []int    // and how many readings each has
	alarms   falseAlarms
}

// newCharted completes the picture with what the chart's settings say. Its points are of a kind, such as "check", and come
// at an interval, if there is one.
func newCharted(result chart.Chart, s chart.Settings, p drawing.Picture, point string, every quantity.Interval, book alarmBook) charted {
	alarms := book.of(result, s)
	p.Chart = result
	p.Targets = targets(result, s)
	p.Remarks = append(p.Remarks, alarms.sentence(result.Kind, point, every))
	return charted{Chart: result, settings: s, picture: p, alarms: alarms}
}

// targets returns what values are compared with in each segment of an EWMA or CUSUM: the known centre, or the mean of the
// baseline.
func targets(c chart.Chart, s chart.Settings) []float64 {
	if shewhart(c.Kind) {
		return nil
	}
	var out []float64
	for _, segment := range c.Segments {
		target := 0.0
		switch {
		case s.Given != nil:
			target = s.Given.Centre
		case segment.Limits != nil && c.Kind == chart.KindEWMA:
			target = segment.Limits.Centre
		default:
			for i := range segment.Baseline {
				target += (c.Points[segment.First-1+i].Value - target) / float64(i+1)
			}
		}
		out = append(out, target)
	}
	return out
}

// needsAttention tells whether a point signals, or there is nothing to judge points by.
func (c charted) needsAttention() bool {
	return c.Signalling() > 0 || c.RangeSignalling() > 0 || c.Current().Limits == nil
}
