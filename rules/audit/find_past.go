package audit

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// pastGaps reports the days of the period on which a calibration or a required
// check was overdue. It is asked for just before each record by which that can
// have ended: between two of them nothing gets better.
func (f *finder) pastGaps() {
	for _, id := range f.subjects() {
		f.pastCalibrations(id)
	}
	for _, id := range f.devices {
		if d := f.Set.Devices[id]; d != nil {
			for i := range d.Checks {
				f.pastChecks(d, &d.Checks[i])
			}
		}
	}
}

func (f *finder) pastCalibrations(id string) {
	for _, a := range f.acceptances(id) {
		if a.From.IsZero() || !f.within(a.From) {
			continue
		}
		f.wasOverdue(id, records.OfCalibration, a.From, rules.Source{File: a.Certificate.File})
	}
}

// pastChecks asks only where so many days lie between two checks that the
// second can have been late.
func (f *finder) pastChecks(d *records.Device, required *records.RequiredCheck) {
	shortest := required.Interval
	for _, e := range f.known.Events[d.ID] {
		if e.Kind == records.IntervalChange && e.Of == required.Procedure && longer(shortest, e.Interval) {
			shortest = e.Interval
		}
	}
	last := d.InService
	for _, k := range f.known.Checks[d.ID] {
		if k.Procedure != required.Procedure {
			continue
		}
		day := f.day(k.Time)
		if f.within(k.Time) && day.After(last.Add(shortest)) {
			f.wasOverdue(d.ID, required.Procedure, k.Time, rules.Source{File: k.File})
		}
		last = day
	}
}

// longer reports whether an interval is longer than another, days being parts
// of the mean month.
func longer(a, b quantity.Interval) bool { return rules.Months(a) > rules.Months(b) }

// wasOverdue reports what was overdue just before an instant.
func (f *finder) wasOverdue(id, what string, until time.Time, ended rules.Source) {
	d := f.dueAt(id, what, until.Add(-time.Second))
	if d == nil {
		return
	}
	switch day := f.day(until); d.State {
	case rules.Overdue:
		f.add("overdue-in-the-past", id, fmt.Sprintf("%s was due by %s and came on %s", what, d.Date, day), append([]rules.Source{ended}, d.Sources...)...)
	case rules.Missing:
		f.add("overdue-in-the-past", id, fmt.Sprintf("%s came for the first time on %s, and it was in service since %s", what, day, d.Date), ended)
	default:
	}
}

// dueAt is what was due of a device or an artifact in service at an instant, by
// what is known now; nil where nothing was.
func (f *finder) dueAt(id, what string, t time.Time) *rules.Due {
	a := rules.Evaluate(f.alone(id), t, rules.Options{Hindsight: true})
	for i := range a.Devices {
		d := &a.Devices[i]
		if d.ID != id || d.Record == nil || d.Service.State != rules.InService {
			continue
		}
		if what == records.OfCalibration {
			return &d.Calibration
		}
		if n := slices.IndexFunc(d.Checks, func(c rules.Due) bool { return c.What == what && !c.Extra }); n >= 0 {
			return &d.Checks[n]
		}
		return nil
	}
	for i := range a.Artifacts {
		if x := &a.Artifacts[i]; x.ID == id && x.Record != nil && x.Service == rules.InService {
			return &x.Calibration
		}
	}
	return nil
}
