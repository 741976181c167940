package rules

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/records"
)

// unproven reports limits that no present evidence covers. It comes after what
// was never done or could not be judged: that says it already where nothing at
// all is proven.
func (d *deviceContext) unproven() {
	r := d.lastRestart()
	var since, never []records.Quantity
	proven, older := 0, ""
	for _, s := range d.standings() {
		switch q := s.limit.Quantity; {
		case s.worst != nil:
			proven++
		case r != nil && d.before[s.limit]:
			since = append(since, q)
		default:
			never = append(never, q)
			if !s.stale.IsZero() {
				older += fmt.Sprintf("; the last evidence of %s, of %s, is older than the calibration interval", q, s.stale)
			}
		}
	}
	if len(since) > 0 {
		d.add("unproven-since-adjustment", fmt.Sprintf("no evidence of %s since the adjustment or repair of %s", quantityWords(since), d.day(r.time)), since, r.source)
	}
	said := slices.ContainsFunc(d.out.Reasons, func(r Reason) bool { return r.Effect.weight() >= Unknown.weight() })
	if len(d.record.Limits) == 0 {
		d.out.Reasons = append(d.out.Reasons, Reason{
			Code: "quantity-unproven", Effect: Unknown, Sentence: "the device has no limit that it could be shown to keep", Sources: []Source{{File: d.record.File}},
		})
		return
	}
	if len(never) == 0 || proven == 0 && said {
		return
	}
	d.add("quantity-unproven", "no check or certificate in force covers "+quantityWords(never)+older, never, Source{File: d.record.File})
	if last := &d.out.Reasons[len(d.out.Reasons)-1]; proven == 0 && last.Effect == Limited {
		last.Effect = Unknown // limited to nothing is not limited
	}
}

// doubts reports an incident that no evidence since has cleared.
func (d *deviceContext) doubts() {
	e := d.out.Service.doubt
	if e == nil {
		return
	}
	doubtful := d.quantitiesWithout(func(x *Evidence) bool { return x.Time.After(e.Time) && good(x.Verdict()) })
	if len(doubtful) > 0 {
		d.add("in-doubt", fmt.Sprintf("in doubt since %s (%s), not shown good since for %s", e.Since, e.Reason, quantityWords(doubtful)), doubtful, Source{File: e.File})
	}
}

// firmware reports new firmware until every required check has been made since;
// without required checks, until any evidence is there.
func (d *deviceContext) firmware() {
	e := d.out.Service.firmwareAt
	if e == nil {
		return
	}
	since := func(x *Evidence) bool { return x.Time.After(e.Time) }
	var missing []string
	for i := range d.record.Checks {
		p := d.record.Checks[i].Procedure
		if !slices.ContainsFunc(d.out.Evidence, func(x Evidence) bool { return x.From == p && since(&x) }) {
			missing = append(missing, p)
		}
	}
	sentence := fmt.Sprintf("firmware %s was loaded on %s", e.Firmware, d.day(e.Time))
	switch {
	case len(missing) > 0:
		sentence += "; not checked since by " + strings.Join(missing, ", ")
	case len(d.record.Checks) == 0 && !slices.ContainsFunc(d.out.Evidence, func(x Evidence) bool { return since(&x) }):
		sentence += "; not checked since"
	default:
		return
	}
	d.add("firmware-unchecked", sentence, d.quantitiesWithout(since), Source{File: e.File})
	for _, p := range missing {
		d.askExtra(d.day(e.Time), Source{File: e.File}, p)
	}
}

// quantitiesWithout lists the quantities of limits that have no evidence of a
// kind, each once.
func (d *deviceContext) quantitiesWithout(kind func(*Evidence) bool) []records.Quantity {
	var out []records.Quantity
	for i := range d.record.Limits {
		limit := &d.record.Limits[i]
		has := slices.ContainsFunc(d.out.Evidence, func(e Evidence) bool { return e.Limit == limit && kind(&e) })
		if !has && !slices.Contains(out, limit.Quantity) {
			out = append(out, limit.Quantity)
		}
	}
	return out
}
