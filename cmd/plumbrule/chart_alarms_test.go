package main

import (
	"math"
	"strings"
	"testing"

	"plumbrule/records/quantity"
	"plumbrule/rules/chart"
)

// What is kept is what the chain gives.
func TestNelsonRunLengthIsExact(t *testing.T) {
	got, err := chart.InControlRunLength(chart.Settings{Tests: chart.Nelson()})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got-nelsonRunLength) > 1e-7 {
		t.Errorf("%.12g, want %.12g", got, nelsonRunLength)
	}
}

func TestAlarmSentence(t *testing.T) {
	week := quantity.Interval{Days: 7}
	for _, c := range []struct {
		alarms falseAlarms
		every  quantity.Interval
		want   string
	}{
		{falseAlarms{length: 370.4}, quantity.Interval{}, "a false alarm comes about once in 370 checks (average"},
		{falseAlarms{length: 73.48}, week, "about once in 73 checks, at this check's interval of 7 days about every 17 months ("},
		{falseAlarms{length: 9.22}, week, "about once in 9.2 checks, at this check's interval of 7 days about every 65 days ("},
		{falseAlarms{length: 370.4}, quantity.Interval{Months: 1}, "about once in 370 checks, at this check's interval of 1 month about every 31 years ("},
		{falseAlarms{why: "it never signals"}, week, "no average run length in control: it never signals"},
	} {
		if got := c.alarms.sentence(chart.KindIndividuals, "check", c.every); !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
