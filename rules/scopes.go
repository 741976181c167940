package rules

import (
	"fmt"
	"slices"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/conformity"
)

// Scope is a quantity over a range of straight lengths: that of a limit, or
// the part of it that a decision leaves or takes away.
type Scope struct {
	Quantity records.Quantity
	Limit    *records.Limit  // the limit whose range it is
	Over     quantity.Length // a decision's lower end; zero: that of Limit
	UpTo     quantity.Length // a decision's upper end; zero: that of Limit
}

// covers reports whether the scope includes a length of a quantity.
func (s Scope) covers(q records.Quantity, lengthMM float64) bool {
	return s.Limit.Covers(q, lengthMM) && (s.UpTo.IsZero() || lengthMM <= s.UpTo.Millimetres()) &&
		(s.Over.IsZero() || lengthMM > s.Over.Millimetres())
}

// Allows reports whether the device may presently measure a quantity at a
// straight length: it is fit and has a limit there, or limited and the length
// is within what it may measure.
func (d *Device) Allows(q records.Quantity, lengthMM float64) bool {
	if d.Fitness == Limited {
		return slices.ContainsFunc(d.May, func(s Scope) bool { return s.covers(q, lengthMM) })
	}
	return d.Fitness == Fit && d.Record.LimitFor(q, lengthMM) != nil
}

// String writes the scope: quantity and range.
func (s Scope) String() string {
	out := string(s.Quantity)
	over, upTo := s.Over, s.UpTo
	if over.IsZero() {
		over = s.Limit.Over
	}
	if upTo.IsZero() {
		upTo = s.Limit.UpTo
	}
	if !over.IsZero() {
		out += fmt.Sprintf(" over %s", over)
	}
	if !upTo.IsZero() {
		out += fmt.Sprintf(" up to %s", upTo)
	}
	return out
}

// scopes names what a limited device may and may not measure. Where nothing is
// left to measure, the device is not limited but unfit.
func (d *deviceContext) scopes() {
	if d.worst() != Limited {
		return
	}
	may, mayNot := d.allowed()
	if len(may) == 0 {
		d.add("nothing-left", "every quantity is excluded for one reason or another", nil, Source{File: d.record.File})
		return
	}
	d.out.May, d.out.MayNot = may, mayNot
}

// allowed parts the device's limits into those it may measure to and those it
// may not: its evidence must be good, and no decision may exclude them.
func (d *deviceContext) allowed() (may, mayNot []Scope) {
	upTo := d.shortened()
	for _, s := range d.standings() {
		whole := Scope{Quantity: s.limit.Quantity, Limit: s.limit}
		switch over, end := s.limit.Range(); {
		case d.excluded(s) || !upTo.IsZero() && upTo.Millimetres() <= over:
			mayNot = append(mayNot, whole)
		case upTo.IsZero() || upTo.Millimetres() >= end:
			may = append(may, whole)
		default:
			part, rest := whole, whole
			part.UpTo, rest.Over = upTo, upTo
			may, mayNot = append(may, part), append(mayNot, rest)
		}
	}
	return may, mayNot
}

// shortened returns the shortest length up to which decisions let anything be
// measured; zero where none says. A quantity that a decision with a length does
// not name is excluded by it anyway.
func (d *deviceContext) shortened() quantity.Length {
	var upTo quantity.Length
	for _, e := range d.decisions() {
		if !e.UpTo.IsZero() && (upTo.IsZero() || e.UpTo.Compare(upTo) < 0) {
			upTo = e.UpTo
		}
	}
	return upTo
}

// decisions lists the limitations and extensions in effect.
func (d *deviceContext) decisions() []*records.Event {
	list := slices.Clone(d.out.Service.limitations)
	if e := d.out.Calibration.Extension; e != nil {
		list = append(list, e)
	}
	for i := range d.out.Checks {
		if e := d.out.Checks[i].Extension; e != nil {
			list = append(list, e)
		}
	}
	return list
}

// excluded reports whether a limit may not be measured to at any length.
func (d *deviceContext) excluded(s standing) bool {
	limiting := func(code string) bool { return d.policy().effect[code] != Fit }
	switch {
	case s.worst == nil:
		if limiting("quantity-unproven") && !d.before[s.limit] || limiting("unproven-since-adjustment") && d.before[s.limit] {
			return true
		}
	case failed(s.worst.Verdict()):
		return true
	case s.worst.Verdict() == conformity.Inconclusive && limiting("quantity-inconclusive"):
		return true
	}
	for i := range d.out.Reasons {
		if d.out.Reasons[i].Effect == Limited && excludes(&d.out.Reasons[i], s.limit.Quantity) {
			return true
		}
	}
	return false
}

// excludes reports whether a reason that limits keeps a quantity from being
// measured.
func excludes(r *Reason, q records.Quantity) bool {
	named := slices.Contains(r.Quantities, q)
	switch r.Code {
	case "limitation", "certificate-limited": // name what is allowed
		return !named
	case "extension-with-limits": // names what is allowed, or only a length
		return !named && len(r.Quantities) > 0
	case "quantity-failed", "quantity-inconclusive", "quantity-unproven": // decided limit by limit
		return false
	}
	return named
}
