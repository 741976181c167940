package rules

import (
	"fmt"
	"slices"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// checks computes the due dates of the required checks, and lists the extra
// ones that signals and events ask for.
func (d *deviceContext) checks() {
	for i := range d.record.Checks {
		d.out.Checks = append(d.out.Checks, d.dueCheck(&d.record.Checks[i]))
	}
	stopped := d.out.Service.State == Withdrawn || d.out.Service.State == Retired
	for _, x := range d.extras {
		if stopped {
			x.State = Stopped
		} else {
			d.add("check-due", fmt.Sprintf("an extra check %s is due since %s", x.What, x.Date), nil, x.Sources...)
		}
		d.out.Checks = append(d.out.Checks, x)
	}
}

func (d *deviceContext) dueCheck(required *records.RequiredCheck) Due {
	out := Due{What: required.Procedure, Interval: required.Interval, Sources: []Source{{d.record.File, required.Line}}}
	stopped := d.out.Service.State == Withdrawn || d.out.Service.State == Retired
	last := d.lastComplete(required.Procedure)
	quantities := d.quantitiesBy(required.Procedure)
	if last == nil {
		out.State, out.Date, out.Planned = Missing, d.record.InService, d.record.InService
		if stopped {
			out.State = Stopped
			return out
		}
		d.add("never-checked", fmt.Sprintf("check %s has never been made as evidence", out.What), quantities, out.Sources...)
		return out
	}
	out.Last = d.day(last.Time)
	out.Sources = append(out.Sources, Source{File: last.File})
	d.plan(&out, period{of: out.What, began: last.Time, anchor: out.Last, interval: required.Interval, away: d.daysAway(last.Time)})
	if stopped {
		out.State = Stopped
		return out
	}
	lead := d.lead()
	d.state(&out, func(day calendar.Date) int { return min(daysOf(day, lead), daysOf(day, out.Interval)/leadShareOfCheck) })
	switch out.State {
	case Overdue:
		d.add("check-overdue", fmt.Sprintf("check %s, last made on %s, was due by %s", out.What, out.Last, out.Date), quantities, out.Sources...)
	case Soon:
		d.add("check-due", fmt.Sprintf("check %s is due by %s", out.What, out.Date), nil, out.Sources...)
	case NotRequired, Missing, Ahead, DueNow, Stopped:
	}
	d.reportExtension(&out, quantities)
	return out
}

// lastComplete returns the check by which a procedure was last done as a
// whole: of the last verdicts on each feature it asks, the oldest. A check that
// leaves a feature out does not put off when that feature is due; a procedure
// of which a feature was never judged was never done.
func (d *deviceContext) lastComplete(procedure string) *records.Check {
	p := d.set.Procedures[procedure]
	if p == nil {
		return nil
	}
	var oldest *records.Check
	for i := range p.Features {
		at := slices.IndexFunc(d.measured, func(m measured) bool { return m.procedure == procedure && m.feature == p.Features[i].Name })
		if at < 0 {
			return nil
		}
		if k := d.measured[at].check; oldest == nil || k.Time.Before(oldest.Time) {
			oldest = k
		}
	}
	return oldest
}

// quantitiesBy lists the quantities of the device's limits that a procedure
// judges; all of them when that cannot be told.
func (d *deviceContext) quantitiesBy(procedure string) []records.Quantity {
	p := d.set.Procedures[procedure]
	judges := func(q records.Quantity) bool {
		if p == nil {
			return true
		}
		for i := range p.Features {
			if p.Features[i].Quantity == q {
				return true
			}
			for _, a := range d.artifacts {
				f := a.record.Feature(p.Features[i].Name)
				if a.record.Kind == p.ArtifactKind && f != nil && records.JudgedQuantity(p, f) == q {
					return true
				}
			}
		}
		return false
	}
	var out []records.Quantity
	for i := range d.record.Limits {
		if q := d.record.Limits[i].Quantity; !slices.Contains(out, q) && judges(q) {
			out = append(out, q)
		}
	}
	return out
}

// askExtra asks for a check at once, beside the plan.
func (d *deviceContext) askExtra(since calendar.Date, source Source, procedure string) {
	for i := range d.extras {
		if d.extras[i].What == procedure {
			d.extras[i].Sources = append(d.extras[i].Sources, source)
			return
		}
	}
	d.extras = append(d.extras, Due{What: procedure, Date: since, Planned: since, State: DueNow, Extra: true, Sources: []Source{source}})
}
