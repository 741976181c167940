package main

import (
	"math"
	"testing"

	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"
)

// A level line meets its limit in a century or never; it is believed for two intervals.
func TestLevelLineIsNotBelievedForEver(t *testing.T) {
	o := intervalOptions{level: &parsed[float64]{value: 0.95}}
	level := interval.Line{Points: 40, MeanMonths: -6, SumSquares: 1e5, ErrorAtMean: 1, ResidualSD: 1}
	r := &intervalReview{o: &o, drift: func(*rules.Device) (interval.Line, float64, string) { return level, 30, "" }}
	p, err := r.byChart(&rules.Device{ID: "scan-1"}, quantity.Interval{Months: 12})
	if err != nil || p.ProposedMonths == nil || math.Abs(*p.ProposedMonths-24) > 1e-9 {
		t.Errorf("%+v, %v", p, err)
	}
}
