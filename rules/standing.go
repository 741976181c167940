package rules

import (
	"slices"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// standing is what the evidence says of one limit.
type standing struct {
	limit *records.Limit
	worst *Evidence     // nil: no evidence
	stale calendar.Date // of the last good evidence, when all is too old; zero: none is
}

// standings pairs each limit with its worst present evidence.
func (d *deviceContext) standings() []standing {
	out := make([]standing, len(d.record.Limits))
	for i := range d.record.Limits {
		out[i].limit = &d.record.Limits[i]
		for j := range d.out.Evidence {
			e := &d.out.Evidence[j]
			if e.Limit != out[i].limit {
				continue
			}
			if day, old := d.outlived(e); old {
				if day.After(out[i].stale) {
					out[i].stale = day
				}
				continue
			}
			if out[i].worst == nil || graver(e.Decision, out[i].worst.Decision) {
				out[i].worst = e
			}
		}
	}
	return out
}

// outlived reports whether evidence that nothing keeps up to date is older than
// the calibration interval, and of which day it is: a good check by a procedure
// that the device does not require at intervals, or of a feature that the
// procedure does not ask. The interval is the longest time for which the device
// is believed without being looked at (common practice, no source). A failure
// does not grow old.
func (d *deviceContext) outlived(e *Evidence) (calendar.Date, bool) {
	interval := d.out.Calibration.Interval
	if e.Judgement == nil || interval.IsZero() || !good(e.Verdict()) || d.required(e.From) && d.asks(e.From, e.Feature) {
		return calendar.Date{}, false
	}
	day := d.day(e.Time)
	return day, d.over(d.dueAfter(period{anchor: day}, interval))
}

// required reports whether the device requires checks by a procedure.
func (d *deviceContext) required(procedure string) bool {
	return slices.ContainsFunc(d.record.Checks, func(c records.RequiredCheck) bool { return c.Procedure == procedure })
}

// asks reports whether a procedure asks for a feature.
func (d *deviceContext) asks(procedure, feature string) bool {
	p := d.set.Procedures[procedure]
	return p != nil && p.Feature(feature) != nil
}
