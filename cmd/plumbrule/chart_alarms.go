package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records/quantity"
	"plumbrule/rules/chart"
)

// falseAlarms is how often a chart signals although nothing has changed.
type falseAlarms struct {
	length float64 // points on average from one to the next; 0: there is no figure
	why    string  // there is none
}

// nelsonRunLength is what [chart.InControlRunLength] gives for the eight tests of Nelson. They are the usual ones, and
// their chain takes longer to compute than all the rest of a chart; a test holds the figure.
const nelsonRunLength = 73.47995158620665

// alarmBook remembers what was computed: the charts of a device mostly signal by the same rule.
type alarmBook map[chart.Scheme]falseAlarms

// of returns the average run length in control of a chart with limits.
func (b alarmBook) of(c chart.Chart, s chart.Settings) falseAlarms {
	if c.Current().Limits == nil {
		return falseAlarms{why: "there are no limits that could be passed"}
	}
	if shewhart(c.Kind) && s.Tests == chart.Nelson() {
		return falseAlarms{length: nelsonRunLength}
	}
	s.Kind = c.Kind
	if a, known := b[s.Scheme()]; known {
		return a
	}
	var a falseAlarms
	length, err := chart.InControlRunLength(s)
	if a.length = length; err != nil {
		a = falseAlarms{why: err.Error()}
	}
	b[s.Scheme()] = a
	return a
}

// sentence tells it for a chart whose points are of a kind, such as "check", and come at an interval, if there is one.
func (a falseAlarms) sentence(kind chart.Kind, point string, every quantity.Interval) string {
	if a.length == 0 {
		return "no average run length in control: " + a.why
	}
	by := "these tests"
	if !shewhart(kind) {
		by = "these limits"
	}
	text := fmt.Sprintf("with %s a false alarm comes about once in %s %ss", by, roundLength(a.length), point)
	if !every.IsZero() {
		text += fmt.Sprintf(", at this check's interval of %s about every %s", every, duration(a.length, every))
	}
	return text + " (average run length in control, centre and standard deviation taken as known)"
}

// roundLength prints an average run length with as many digits as anybody can use.
func roundLength(length float64) string {
	switch {
	case length < 10:
		return show.Fixed(length, 1)
	case length < 1e6:
		return show.Fixed(length, 0)
	}
	return show.Ratio(length)
}

// daysPerMonth is a twelfth of a Gregorian year.
const daysPerMonth = 365.2425 / 12

// duration prints so many intervals in a unit that suits them.
func duration(count float64, every quantity.Interval) string {
	days := count * (float64(every.Months)*daysPerMonth + float64(every.Days))
	switch months := days / daysPerMonth; {
	case days < 100:
		return show.Fixed(days, 0) + " days"
	case months < 36:
		return show.Fixed(months, 0) + " months"
	default:
		return show.Fixed(months/12, 0) + " years"
	}
}
