package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// DueState says where the instant stands to a due date.
type DueState string

// The states of what is due.
const (
	NotRequired DueState = "not required"
	Missing     DueState = "missing" // never done: due since the first day
	Ahead       DueState = "ahead"
	Soon        DueState = "due soon" // within the lead time
	DueNow      DueState = "due"      // an extra one is asked, at once
	Overdue     DueState = "overdue"
	Stopped     DueState = "stopped" // the clock stands while withdrawn
)

// Due is one thing that falls due: the calibration, or a required check.
type Due struct {
	What      string        // "calibration" or the procedure's id
	Last      calendar.Date // when it was last done; zero: never
	Date      calendar.Date // the last day on which it is not overdue
	Planned   calendar.Date // Date before any extension
	Interval  quantity.Interval
	State     DueState
	Extension *records.Event // in effect; nil: none
	Extra     bool           // asked by a signal or an event, beside the plan
	Sources   []Source
}

// The lead time when the site states none, and the share of a check's interval
// that its lead time may take: a weekly check is announced a day ahead.
const (
	defaultLeadDays  = 30
	leadShareOfCheck = 4
)

// calibration computes the due date of the device's calibration.
func (d *deviceContext) calibration() {
	plan := d.record.Calibration
	out := &d.out.Calibration
	out.What = records.OfCalibration
	out.Sources = []Source{{d.record.File, plan.Line}}
	d.incoming(d.inForce())
	in := d.oldestCalibration()
	if plan.NotRequired != "" {
		out.State = NotRequired
		d.add("calibration-not-required", "no calibration required: "+plan.NotRequired, nil, out.Sources[0])
		return
	}
	unchecked := d.quantitiesWithout(func(e *Evidence) bool { return e.Certified == nil && good(e.Verdict()) })
	if in == nil {
		out.State, out.Date, out.Planned, out.Interval = Missing, d.record.InService, d.record.InService, plan.Interval
		d.add("never-calibrated", "no accepted certificate is in force", unchecked, Source{File: d.record.File})
		return
	}
	out.Last = in.cert.Date
	out.Sources = append(out.Sources, Source{File: in.cert.File})
	d.plan(out, period{of: out.What, began: in.cert.Date.StartIn(d.zone), anchor: in.cert.Date, interval: plan.Interval})
	lead := plan.Lead
	if lead.IsZero() {
		lead = d.lead()
	}
	d.state(out, func(day calendar.Date) int { return daysOf(day, lead) })
	switch out.State {
	case Overdue:
		d.add("calibration-overdue", fmt.Sprintf("calibration, last on %s, was due by %s", out.Last, out.Date), unchecked, out.Sources...)
	case Soon:
		d.add("calibration-due", fmt.Sprintf("calibration is due by %s", out.Date), nil, out.Sources...)
	case NotRequired, Missing, Ahead, DueNow, Stopped:
	}
	d.reportExtension(out, unchecked)
}

// incoming remarks on certificates that are not in force, and on limits under
// which the one in force was accepted.
func (d *deviceContext) incoming(in *accepted) {
	for _, r := range d.unreviewed {
		d.add("certificate-unreviewed", fmt.Sprintf("certificate %s of %s is not reviewed yet", r.Number, r.Date), nil, Source{File: r.File})
	}
	for _, r := range d.sentBack {
		if in == nil || in.cert.Date.Before(r.Date) {
			d.add("certificate-sent-back", fmt.Sprintf("certificate %s of %s was sent back", r.Number, r.Date), nil, Source{File: r.File})
		}
	}
	if in != nil && in.limited {
		d.add("certificate-limited", fmt.Sprintf("certificate %s was accepted for %s only", in.cert.Number, quantityWords(in.quantities)), in.quantities, in.source)
	}
}

// plan computes the due date of a period with what events made of it.
func (d *deviceContext) plan(out *Due, p period) {
	s := d.schedule(p, d.view.events, d.failedAt)
	out.Interval, out.Planned, out.Date, out.Extension = s.interval, s.planned, s.date, s.extension
	for _, e := range s.changes {
		out.Sources = append(out.Sources, Source{File: e.File})
	}
	if s.extension != nil {
		out.Sources = append(out.Sources, Source{File: s.extension.File})
	}
	for _, v := range s.void {
		what := fmt.Sprintf("extension of %s to %s", out.What, v.event.Until)
		if v.event.Kind == records.IntervalChange {
			what = fmt.Sprintf("interval of %s of %s", v.event.Interval, out.What)
		}
		d.add("extension-void", fmt.Sprintf("%s does not put the date off: %s", what, v.why), nil, Source{File: v.event.File})
	}
}

// failedAt reports whether the last evidence of a quantity of the device was a
// failure at an instant, by what was known then.
func (d *deviceContext) failedAt(t time.Time) bool {
	then := newContext(d.set, t, d.options).newDevice(d.id)
	then.service()
	then.evidence()
	for _, s := range then.standings() {
		if s.worst != nil && failed(s.worst.Verdict()) {
			return true
		}
	}
	return false
}

// reportExtension reports an extension in effect; unless it names its limits,
// a site that limits extended devices limits them to what checks prove.
func (d *deviceContext) reportExtension(out *Due, unchecked []records.Quantity) {
	e := out.Extension
	if e == nil {
		return
	}
	if d.over(out.Date) {
		out.Extension = nil // used up: what it allowed has ended
		return
	}
	sentence := fmt.Sprintf("%s extended from %s to %s: %s", out.What, out.Planned, out.Date, e.Reason)
	if len(e.Quantities) > 0 || !e.UpTo.IsZero() {
		d.add("extension-with-limits", sentence+"; limited to "+scopeWords(e), e.Quantities, Source{File: e.File})
		return
	}
	d.add("extension", sentence, unchecked, Source{File: e.File})
}

// state compares today with the due date; lead counts the days of the lead time
// from a day.
func (c *context) state(out *Due, lead func(calendar.Date) int) {
	switch {
	case c.over(out.Date):
		out.State = Overdue
	case c.announced(out.Date, lead):
		out.State = Soon
	default:
		out.State = Ahead
	}
}

// lead is the site's lead time.
func (c *context) lead() quantity.Interval {
	if l := c.set.Site.Due.Lead; !l.IsZero() {
		return l
	}
	return quantity.Interval{Days: defaultLeadDays}
}

// daysOf counts the days of an interval from a day.
func daysOf(from calendar.Date, i quantity.Interval) int { return from.DaysUntil(from.Add(i)) }
