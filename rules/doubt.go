package rules

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
)

// DoubtKind is why results are in doubt.
type DoubtKind string

// The kinds of doubt.
const (
	OutsideLimit DoubtKind = "outside its limit"
	NoAsFound    DoubtKind = "adjusted without as found"
	AfterAnEvent DoubtKind = "in doubt since an incident"
	NoReference  DoubtKind = "evidence fallen away"
	Supposed     DoubtKind = "supposed"
)

// Doubt is a time in which what a device measured in the range of one limit is
// in doubt (ISO/IEC 17025:2017, 6.4.9 and 7.10.1 c).
type Doubt struct {
	Device string
	Limit  *records.Limit
	Kind   DoubtKind
	// Findings are the errors outside the limit that fall in one window, in the
	// order of time. Without any, nothing tells how large the error was, and Why
	// says so.
	Findings []Evidence
	Why      string
	Found    time.Time // when it first showed
	Cause    Source    // the record that shows it; of Findings the first

	Since      time.Time // zero: from the beginning, for want of good evidence
	SinceWords string
	Good       Source    // the evidence or the adjustment it begins with; without a file: none
	Until      time.Time // zero: it lasts
	UntilWords string
	Ended      Source

	Checks []*records.Check // of the device inside the window, in the order of time
	Jobs   []DoubtfulJob    // inside the window, in the order of their ends
}

// Doubts lists the times in which what a device measured is in doubt, over all
// its records that were known at the instant: errors outside a limit,
// adjustments without as found, incidents that no good evidence followed. A
// window begins with the last good evidence of the same limit and ends with the
// adjustment that ended the state the error was found in, or with the first
// check by the same procedure that found the same feature good again. A device
// or site that cannot be read has none.
func Doubts(set *records.Set, at time.Time, options Options, device string) []Doubt {
	return KnowledgeAt(set, at, options).Doubts(device)
}

// Doubts is [Doubts] by what was known.
func (k *Knowledge) Doubts(device string) []Doubt {
	d := k.served(device)
	if d == nil {
		return nil
	}
	return d.doubtful()
}

// DoubtsSince lists, for each limit of a device, the time from a day on as one
// of doubt, whatever the evidence then was: with the errors that were found in
// it, or without any known error.
func DoubtsSince(set *records.Set, at time.Time, options Options, device string, since time.Time) []Doubt {
	d := trendContext(set, at, options, device)
	if d == nil {
		return nil
	}
	var out []Doubt
	asked := fmt.Sprintf("since %s, as asked", d.day(since))
	own := d.doubtful()
	for i := range d.record.Limits {
		limit := &d.record.Limits[i]
		known := len(out)
		for _, x := range own {
			if x.Limit == limit && x.Kind == OutsideLimit && (x.Until.IsZero() || x.Until.After(since)) {
				x.Since, x.SinceWords, x.Good = since, asked, Source{}
				d.within(&x)
				out = append(out, x)
			}
		}
		if known < len(out) {
			continue
		}
		x := Doubt{
			Device: d.id, Limit: limit, Kind: Supposed, Found: since, Since: since, SinceWords: asked,
			Why: "no record says how large the error was", Cause: Source{d.record.File, limit.Line},
		}
		d.within(&x)
		out = append(out, x)
	}
	return out
}

func (d *deviceContext) doubtful() []Doubt {
	var out []Doubt
	for _, k := range d.view.checks {
		b := d.basis(k)
		if b.why.code != "" {
			continue
		}
		for i := range k.Readings {
			if j, why := d.judge(&b, &k.Readings[i]); why.code == "" && failed(j.Decision.Verdict) {
				e := evidenceOf(j)
				d.gather(&out, d.failing(e))
			}
		}
	}
	for _, cert := range d.view.certificates {
		for _, e := range d.failedCertified(cert) {
			d.gather(&out, d.failing(e))
		}
	}
	d.unknownBefore(&out)
	d.incidents(&out)
	for i := range out {
		d.within(&out[i])
	}
	slices.SortStableFunc(out, func(a, b Doubt) int { return cmp.Or(a.Found.Compare(b.Found), cmp.Compare(a.Limit.Line, b.Limit.Line)) })
	return out
}

// gather puts a finding into the doubt with the same window, or adds its own.
func (d *deviceContext) gather(list *[]Doubt, x Doubt) {
	for i := range *list {
		o := &(*list)[i]
		if o.Limit != x.Limit || o.Kind != x.Kind || !o.Since.Equal(x.Since) || !o.Until.Equal(x.Until) {
			continue
		}
		o.Findings = append(o.Findings, x.Findings...)
		slices.SortStableFunc(o.Findings, func(a, b Evidence) int { return a.Time.Compare(b.Time) })
		o.Found, o.Cause = o.Findings[0].Time, o.Findings[0].Source
		return
	}
	*list = append(*list, x)
}

// failing is the doubt that one failure brings.
func (d *deviceContext) failing(e Evidence) Doubt {
	x := Doubt{Device: d.id, Limit: e.Limit, Kind: OutsideLimit, Findings: []Evidence{e}, Found: e.Time, Cause: e.Source}
	d.beginning(&x, failureOf(&e))
	if e.Judgement != nil {
		d.endOfCheck(&x, &e)
	} else {
		d.endOfCertified(&x, &e)
	}
	return x
}

func (d *deviceContext) beginning(x *Doubt, f failure) {
	w := d.lastGood(f)
	x.Since, x.SinceWords, x.Good = w.time, d.sinceWords(&w), w.source()
}

// endOfCheck finds what ended the state that a check failed in.
func (d *deviceContext) endOfCheck(x *Doubt, e *Evidence) {
	failed := e.Judgement.Check
	for i := range d.out.Service.restarts {
		if r := &d.out.Service.restarts[i]; !d.after(failed, r) {
			d.endAt(x, r)
			break
		}
	}
	for _, k := range d.view.checks {
		if k.Procedure == failed.Procedure && k.Time.After(failed.Time) && (x.Until.IsZero() || k.Time.Before(x.Until)) && d.passes(k, e) {
			x.Until, x.Ended = k.Time, Source{File: k.File}
			x.UntilWords = fmt.Sprintf("to the check of %s, which passed with nothing adjusted in between", d.day(k.Time))
			return
		}
	}
}

// passes reports whether a check found good what another found failing.
func (d *deviceContext) passes(k *records.Check, e *Evidence) bool {
	b := d.basis(k)
	if b.why.code != "" {
		return false
	}
	measured := false
	for i := range k.Readings {
		if k.Readings[i].Feature != e.Feature {
			continue
		}
		j, why := d.judge(&b, &k.Readings[i])
		if why.code != "" || j.Limit != e.Limit || !good(j.Decision.Verdict) {
			return false
		}
		measured = true
	}
	return measured
}

// endOfCertified finds what ended the state that a calibration found failing:
// its own adjustment, a later one, or a later calibration that left it good.
func (d *deviceContext) endOfCertified(x *Doubt, e *Evidence) {
	for i := range d.out.Service.restarts {
		r := &d.out.Service.restarts[i]
		if own := r.cert != nil && r.cert.File == e.Source.File; own || r.time.After(e.Time) {
			d.endAt(x, r)
			break
		}
	}
	for i := range d.accepted {
		a := &d.accepted[i]
		start := a.cert.Date.StartIn(d.zone)
		if start.After(e.Time) && (x.Until.IsZero() || start.Before(x.Until)) && d.leftWithin(a, failureOf(e)) {
			x.Until, x.Ended = start, Source{File: a.cert.File}
			x.UntilWords = fmt.Sprintf("to the calibration of %s, which found it good", a.cert.Date)
			return
		}
	}
}

func (d *deviceContext) endAt(x *Doubt, r *restart) {
	x.Until, x.Ended = r.time, r.source
	x.UntilWords = fmt.Sprintf("to the %s of %s", r.kind(), d.day(r.time))
	if r.cert != nil {
		x.UntilWords = fmt.Sprintf("to the adjustment at the calibration of %s", r.cert.Date)
	}
}

// failedCertified judges the errors a certificate states: as found where the
// laboratory adjusted, whether or not it was accepted, and those it was left
// with where it was.
func (d *deviceContext) failedCertified(cert *records.Certificate) []Evidence {
	var out []Evidence
	judge := func(list []records.CertifiedError) {
		for i := range list {
			e := &list[i]
			limit := d.record.LimitFor(e.Quantity, e.Length.Millimetres())
			decision, err := d.decideCertified(e, limit)
			if err != nil || !failed(decision.Verdict) {
				continue
			}
			out = append(out, Evidence{
				From: records.OfCalibration, Feature: e.Length.String(), Quantity: e.Quantity, Limit: limit, Time: cert.Date.StartIn(d.zone),
				Decision: decision, Source: Source{cert.File, e.Line}, Certified: e,
			})
		}
	}
	if cert.Adjusted {
		judge(cert.AsFound)
	}
	if slices.ContainsFunc(d.accepted, func(a accepted) bool { return a.cert == cert }) {
		judge(left(cert))
	}
	return out
}

// within fills in the jobs and checks inside a window.
func (d *deviceContext) within(x *Doubt) {
	x.Jobs, x.Checks = d.jobsWithin(x.Limit, x.Since, x.Until), nil
	for _, k := range d.view.checks {
		if (x.Since.IsZero() || k.Time.After(x.Since)) && (x.Until.IsZero() || k.Time.Before(x.Until)) {
			x.Checks = append(x.Checks, k)
		}
	}
	if x.UntilWords == "" {
		x.UntilWords = "to this day"
		if s := &d.out.Service; s.State == Withdrawn || s.State == Retired {
			x.UntilWords = fmt.Sprintf("to this day, %s since %s", s.State, s.Since)
		}
	}
}
