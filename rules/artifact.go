package rules

import (
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// artifact is an artifact with what was known of it at the instant.
type artifact struct {
	record   *records.Artifact
	accepted []accepted
	last     []calendar.Date // of the interval of each certificate in accepted; zero: no recalibration is needed
	ends     []time.Time     // end of that day
	events   []*records.Event
	moved    bool // an event changed an interval or put a date off
	turn     turn // when any of this can change
}

// artifactOf prepares an artifact and counts its records left out as later;
// each is prepared once.
func (c *context) artifactOf(id string) (*artifact, int) {
	v := c.viewOf(id)
	a := &artifact{record: c.set.Artifacts[id], events: v.events}
	a.accepted, _, _ = c.acceptances(&v)
	for _, e := range a.events {
		a.moved = a.moved || e.Kind == records.IntervalChange || e.Kind == records.Extension
	}
	for i := range a.accepted {
		last := c.lastDay(a, a.accepted[i].cert, a.events)
		a.last = append(a.last, last)
		var end time.Time
		if !last.IsZero() {
			end = last.EndIn(c.zone)
		}
		a.ends = append(a.ends, end)
	}
	return a, v.later
}

// lastDay returns the last day of a certificate's calibration interval, with
// the interval changes and extensions among the events; zero when the artifact
// needs no recalibration. An extension with limits of use does not count: what
// its limits mean for a check is not known.
func (c *context) lastDay(a *artifact, cert *records.Certificate, events []*records.Event) calendar.Date {
	plan := a.record.Calibration
	if plan.NotRequired != "" {
		return calendar.Date{}
	}
	p := period{of: records.OfCalibration, began: cert.Date.StartIn(c.zone), anchor: cert.Date, interval: plan.Interval}
	s := c.schedule(p, events, neverFailed)
	if e := s.extension; e != nil && (len(e.Quantities) > 0 || !e.UpTo.IsZero()) {
		return s.planned
	}
	return s.date
}

// neverFailed says that an artifact had not failed: nothing judges artifacts by
// checks.
func neverFailed(time.Time) bool { return false }

// expiry returns the last day of the interval of the certificate in force at
// an instant, by the decisions made until then, and whether it has passed.
func (c *context) expiry(a *artifact, index int, t time.Time) (calendar.Date, bool) {
	if !a.moved {
		return a.last[index], !a.ends[index].IsZero() && !t.Before(a.ends[index])
	}
	var until []*records.Event
	for _, e := range a.events {
		if !later(e.Time, e.Entered).After(t) {
			until = append(until, e)
		}
	}
	last := c.lastDay(a, a.accepted[index].cert, until)
	return last, a.record.Calibration.NotRequired == "" && c.day(t).After(last)
}

// rely finds the certificate that gives the reference values for a check at an
// instant, or the objection to relying on the artifact then.
func (c *context) rely(a *artifact, k *records.Check) (*accepted, objection) {
	in := inForce(a.accepted, k.Time)
	if in == nil {
		return nil, objection{code: "artifact-uncertified", check: k}
	}
	for i := range a.accepted {
		if &a.accepted[i] != in {
			continue
		}
		if last, passed := c.expiry(a, i, k.Time); passed {
			return in, objection{code: "artifact-expired", check: k, in: in, day: last}
		}
	}
	if e := c.unsound(a, in.cert, k.Time); e != nil {
		return in, objection{code: "artifact-in-doubt", check: k, in: in, event: e}
	}
	return in, objection{}
}

// unsound returns the event because of which an artifact was not to be relied
// on at an instant: it was out of service, or in doubt, repaired or adjusted
// and not calibrated since. A calibration of the same day does not count as
// one since: which came first is not recorded.
func (c *context) unsound(a *artifact, cert *records.Certificate, t time.Time) *records.Event {
	if len(a.events) == 0 {
		return nil
	}
	var out, retired *records.Event
	day := c.day(t)
	for _, e := range a.events {
		happened := !e.Time.After(t)
		switch {
		case e.Kind == records.Doubt:
			if !e.Since.After(day) && !cert.Date.After(e.Since) {
				return e
			}
		case e.Kind == records.Repair || e.Kind == records.Adjustment:
			if happened && !cert.Date.After(c.day(e.Time)) {
				return e
			}
		case e.Kind == records.Retirement && happened:
			retired = e
		case e.Kind == records.Withdrawal && happened && out == nil:
			out = e
		case e.Kind == records.ReturnToService && happened:
			out = nil
		}
	}
	if retired != nil {
		return retired
	}
	return out
}
