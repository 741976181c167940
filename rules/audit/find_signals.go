package audit

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

// signals reports episodes on the control charts of a device, from the first
// signalling check on, that nobody acted on. An episode ends with the first
// check of the chart that does not signal.
func (f *finder) signals(id string) {
	features := map[*records.Check][]string{}
	var begun []*records.Check
	for _, s := range f.knowledge.Charts(id) {
		if s.Provisional {
			continue // limits that rest on too few points are not acted on
		}
		for i, k := range s.Checks {
			signals := len(s.Result.Points[i].Signals) > 0
			before := i > 0 && len(s.Result.Points[i-1].Signals) > 0 && s.Result.Points[i-1].Segment == s.Result.Points[i].Segment
			if !signals || before || !f.within(k.Time) {
				continue
			}
			if features[k] == nil {
				begun = append(begun, k)
			}
			features[k] = append(features[k], s.Feature)
		}
	}
	slices.SortStableFunc(begun, func(a, b *records.Check) int { return a.Time.Compare(b.Time) })
	for _, k := range begun {
		if f.actedOn(id, k) || f.At.Sub(k.Time) < actionDays*24*time.Hour {
			continue
		}
		f.add("signal-without-action", id, fmt.Sprintf("the chart of %s signalled on %s (%s), and nothing was recorded about it", k.Procedure, f.day(k.Time), strings.Join(features[k], ", ")), rules.Source{File: k.File})
	}
}

// actedOn reports whether an extra check, an event or a case followed a check.
func (f *finder) actedOn(id string, k *records.Check) bool {
	within := func(t time.Time, days int) bool {
		return t.After(k.Time) && t.Sub(k.Time) <= time.Duration(days)*24*time.Hour
	}
	if slices.ContainsFunc(f.known.Checks[id], func(o *records.Check) bool { return o.Procedure == k.Procedure && within(o.Time, actionDays) }) {
		return true
	}
	if slices.ContainsFunc(f.known.Events[id], func(e *records.Event) bool { return answers(e.Kind) && within(e.Time, episodeDays) }) {
		return true
	}
	return slices.ContainsFunc(f.casesOf(id), func(c rules.Case) bool {
		return slices.ContainsFunc(c.Steps, func(s *records.CaseStep) bool { return within(s.Time, episodeDays) })
	})
}

// answers reports whether an event of a kind can answer a signal.
func answers(kind records.EventKind) bool {
	switch kind {
	case records.Adjustment, records.Repair, records.Withdrawal, records.Retirement, records.Limitation, records.Doubt:
		return true
	default:
		return false
	}
}
