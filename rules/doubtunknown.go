package rules

import (
	"fmt"
	"math"
	"time"

	"plumbrule/records"
)

// unknownBefore adds the states that ended with an adjustment before which
// nobody looked, limit by limit: the period is unproven, and is treated like a
// failure of unknown size (common practice, no source). Where an error is known
// that the same adjustment ended, that says more.
func (d *deviceContext) unknownBefore(list *[]Doubt) {
	for i := range d.out.Service.restarts {
		r := &d.out.Service.restarts[i]
		if r.asFound != "" || r.cert != nil && len(r.cert.AsFound) > 0 {
			continue
		}
		for l := range d.record.Limits {
			limit := &d.record.Limits[l]
			known := false
			for _, o := range *list {
				known = known || o.Limit == limit && o.Until.Equal(r.time)
			}
			if known {
				continue
			}
			x := Doubt{
				Device: d.id, Limit: limit, Kind: NoAsFound, Found: r.time, Cause: r.source,
				Why: fmt.Sprintf("nothing was measured before the %s of %s", r.kind(), d.day(r.time)),
			}
			d.beginning(&x, failure{limit: limit, time: r.time, pathMM: d.longestChecked(limit)})
			d.endAt(&x, r)
			*list = append(*list, x)
		}
	}
}

// incidents adds what is in doubt since an incident, limit by limit, unless
// evidence after it shows the device good in the same state, or how far off it
// was.
func (d *deviceContext) incidents(list *[]Doubt) {
	for _, e := range d.view.events {
		if e.Kind != records.Doubt {
			continue
		}
		for l := range d.record.Limits {
			x := Doubt{
				Device: d.id, Limit: &d.record.Limits[l], Kind: AfterAnEvent, Found: e.Time, Cause: Source{File: e.File}, Good: Source{File: e.File},
				Since: e.Since.StartIn(d.zone), SinceWords: fmt.Sprintf("since %s, the day the incident gives,", e.Since),
				Why: fmt.Sprintf("no evidence after the incident of %s shows how far off it was (%s)", e.Since, e.Reason),
			}
			for i := range d.out.Service.restarts {
				if r := &d.out.Service.restarts[i]; r.time.After(e.Time) {
					d.endAt(&x, r)
					break
				}
			}
			if d.settled(&x, e, *list) {
				continue
			}
			*list = append(*list, x)
		}
	}
}

// settled reports whether evidence between an incident and the end of the state
// tells how the device measured after it.
func (d *deviceContext) settled(x *Doubt, e *records.Event, list []Doubt) bool {
	for i := range list {
		o := &list[i]
		if o.Kind == OutsideLimit && o.Limit == x.Limit && !o.Since.After(x.Since) && (o.Until.IsZero() || o.Until.After(e.Time)) {
			return true
		}
	}
	return d.provenBetween(e.Time, x.Until, failure{limit: x.Limit, pathMM: d.longestChecked(x.Limit)})
}

// provenBetween reports whether there is good evidence of a limit after an
// instant and before another, of which zero is none.
func (d *deviceContext) provenBetween(after, until time.Time, f failure) bool {
	between := func(t time.Time) bool { return t.After(after) && (until.IsZero() || t.Before(until)) }
	for _, k := range d.view.checks {
		if between(k.Time) && d.keeps(k, f) {
			return true
		}
	}
	for i := range d.accepted {
		if a := &d.accepted[i]; between(a.cert.Date.StartIn(d.zone)) && d.leftWithin(a, f) {
			return true
		}
	}
	return false
}

// longestChecked is the longest path over which a limit was ever checked or
// calibrated, in millimetres; 0 where it does not count the path.
func (d *deviceContext) longestChecked(limit *records.Limit) float64 {
	longest := 0.0
	if !limit.CountsPath() {
		return longest
	}
	for _, k := range d.view.checks {
		b := d.basis(k)
		if b.why.code != "" {
			continue
		}
		for i := range k.Readings {
			if s := d.subject(&b, k.Readings[i].Feature); s.limit == limit {
				longest = math.Max(longest, k.Readings[i].Path.Millimetres())
			}
		}
	}
	return longest
}
