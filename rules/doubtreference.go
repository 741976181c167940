package rules

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"plumbrule/records"
)

// Reference is an artifact or a certificate supposed to be wrong.
type Reference struct {
	Artifact    string    // id; empty: the certificate is that of a device
	Certificate string    // file of the certificate supposed to be wrong; empty: the artifact as a whole
	Since       time.Time // from when on the artifact is supposed to be wrong; zero: as the records say
}

// Fallen is what falls away with a reference.
type Fallen struct {
	Since, Until           time.Time // checks in between rest on it; zero: open
	SinceWords, UntilWords string
	Instead                *records.Certificate // the later certificate by which the checks are judged instead; nil: none
	Checks                 []*records.Check     // that rest on it, of every device, in the order of time
	Doubts                 []Doubt
}

// fault is a reference supposed to be wrong, and what takes its place.
type fault struct {
	artifact string
	cert     *records.Certificate // nil: whatever was in force
	since    time.Time
	until    time.Time
	instead  *accepted
	event    *records.Event // stands for the reason in objections
}

// rests reports whether a check rests on the reference.
func (f *fault) rests(b *basis) bool {
	k := b.check
	if k.Artifact != f.artifact || b.artifact == nil || b.in == nil {
		return false
	}
	if f.cert != nil {
		return b.in.cert == f.cert
	}
	return !k.Time.Before(f.since) && (f.until.IsZero() || k.Time.Before(f.until))
}

// judge puts the later certificate in the reference's place, or takes away the
// ground of the check.
func (f *fault) judge(b *basis) {
	switch {
	case !f.rests(b) || !sound(b):
	case f.instead != nil:
		b.in, b.why = f.instead, objection{}
	case b.why.code == "":
		b.why = objection{code: "artifact-in-doubt", check: b.check, in: b.in, event: f.event}
	}
}

// sound reports whether a check is evidence but for what is known of its
// artifact's state.
func sound(b *basis) bool { return b.why.code == "" || b.why.code == "artifact-in-doubt" }

// DoubtsThrough lists what is in doubt where an artifact or a certificate is
// wrong: every check that rests on it ceases to be evidence, and what then has
// no other good evidence is in doubt. Where a later certificate of the artifact
// is in force, the checks are judged anew by it, as if the artifact had had its
// new values all the time: those that pass are evidence again, and those that
// fail tell how large the error was. found is false where there is no such
// artifact or certificate.
//
// An artifact is wrong from the day asked; or from the day its last incident
// gives; or else from its last calibration but one on, to the day the last came
// into force; or, with one calibration alone, from that on.
func DoubtsThrough(set *records.Set, at time.Time, options Options, r Reference) (out Fallen, found bool) {
	if !hasSite(set) {
		return out, false
	}
	c := newContext(set, at, options)
	f := &fault{artifact: r.Artifact, since: r.Since, event: &records.Event{Kind: records.Doubt, Reason: "supposed to be wrong"}}
	ids := set.DeviceIDs()
	if r.Artifact == "" {
		f.cert = certificateOf(set, r.Certificate)
		if f.cert == nil {
			return out, false
		}
		ids = []string{f.cert.Subject}
	} else {
		a := c.artifacts[r.Artifact]
		if a == nil || a.record == nil || r.Certificate != "" && !f.named(set, r.Certificate) {
			return out, false
		}
		c.period(f, a, &out)
	}
	for _, id := range ids {
		if set.Devices[id] != nil {
			c.newDevice(id).through(f, &out)
		}
	}
	slices.SortStableFunc(out.Checks, func(a, b *records.Check) int { return cmp.Or(a.Time.Compare(b.Time), cmp.Compare(a.File, b.File)) })
	return out, true
}

// named finds the certificate of the artifact.
func (f *fault) named(set *records.Set, file string) bool {
	f.cert = certificateOf(set, file)
	return f.cert != nil && f.cert.Subject == f.artifact
}

func certificateOf(set *records.Set, file string) *records.Certificate {
	for _, list := range set.Certificates {
		for _, cert := range list {
			if withoutSuffix(cert.File) == withoutSuffix(file) {
				return cert
			}
		}
	}
	return nil
}

// period finds from when to when checks rest on the reference, and what takes
// its place.
func (c *context) period(f *fault, a *artifact, out *Fallen) {
	list := a.accepted
	day := func(x *accepted) time.Time { return x.cert.Date.StartIn(c.zone) }
	var incident *records.Event
	for _, e := range a.events {
		if e.Kind == records.Doubt {
			incident = e
		}
	}
	switch n := len(list); {
	case f.cert != nil:
		f.since = f.cert.Date.StartIn(c.zone)
		out.SinceWords = fmt.Sprintf("by the certificate of %s", f.cert.Date)
	case !f.since.IsZero():
		out.SinceWords = fmt.Sprintf("since %s, as asked", c.day(f.since))
	case incident != nil:
		f.since = incident.Since.StartIn(c.zone)
		out.SinceWords = fmt.Sprintf("since %s, the day the incident gives", incident.Since)
	case n > 1:
		f.since = list[n-2].from
		out.SinceWords = fmt.Sprintf("since the calibration of %s, the last but one", list[n-2].cert.Date)
	case n == 1:
		f.since = list[0].from
		out.SinceWords = fmt.Sprintf("since its only calibration, of %s", list[0].cert.Date)
	default:
		out.SinceWords = "since the beginning: it was never calibrated"
	}
	for i := range list {
		if day(&list[i]).After(f.since) && list[i].cert != f.cert && (f.cert == nil || list[i].cert.Date.After(f.cert.Date)) && list[i].from.After(f.since) {
			f.instead, f.until = &list[i], list[i].from
			break
		}
	}
	out.Since, out.Until, out.UntilWords = f.since, f.until, "to this day"
	if f.instead != nil {
		out.Instead = f.instead.cert
		out.UntilWords = fmt.Sprintf("to the calibration of %s, in force from %s", f.instead.cert.Date, c.day(f.instead.from))
	}
}

// through finds what of a device is in doubt through a reference.
func (d *deviceContext) through(f *fault, out *Fallen) {
	d.service()
	var points []point
	for _, k := range d.view.checks {
		b := d.basis(k)
		if !f.rests(&b) || !sound(&b) {
			continue
		}
		out.Checks = append(out.Checks, k)
		points = append(points, d.pointsOf(&b)...)
	}
	if f.artifact == "" {
		points = append(points, d.pointsOfCertificate(f.cert)...)
	}
	d.supposed = f
	if f.instead == nil {
		out.Doubts = append(out.Doubts, d.ungrounded(points)...)
		return
	}
	for _, x := range d.doubtful() {
		rests := func(e Evidence) bool {
			if e.Judgement == nil {
				return false
			}
			return slices.ContainsFunc(points, func(p point) bool { return p.check == e.Judgement.Check })
		}
		if slices.ContainsFunc(x.Findings, rests) {
			out.Doubts = append(out.Doubts, x)
		}
	}
}

// point is where a limit had evidence that falls away.
type point struct {
	limit  *records.Limit
	time   time.Time
	pathMM float64
	state  int // how many adjustments lie before it
	check  *records.Check
	source Source
}

// pointsOf lists what a check was evidence of.
func (d *deviceContext) pointsOf(b *basis) []point {
	free := *b
	free.why = objection{}
	var out []point
	for i := range b.check.Readings {
		r := &b.check.Readings[i]
		s := d.subject(&free, r.Feature)
		if s.limit == nil {
			continue
		}
		p := point{limit: s.limit, time: b.check.Time, check: b.check, source: Source{b.check.File, r.Line}}
		if s.limit.CountsPath() {
			p.pathMM = r.Path.Millimetres()
		}
		for n := range d.out.Service.restarts {
			if d.after(b.check, &d.out.Service.restarts[n]) {
				p.state++
			}
		}
		out = append(out, p)
	}
	return out
}

// pointsOfCertificate lists what a certificate of the device was evidence of.
func (d *deviceContext) pointsOfCertificate(cert *records.Certificate) []point {
	var out []point
	errs := left(cert)
	for i := range errs {
		e := &errs[i]
		limit := d.record.LimitFor(e.Quantity, e.Length.Millimetres())
		if limit == nil {
			continue
		}
		p := point{limit: limit, time: cert.Date.StartIn(d.zone), source: Source{cert.File, e.Line}}
		if limit.CountsPath() {
			p.pathMM = e.Path.Millimetres()
		}
		for n := range d.out.Service.restarts {
			if d.calibratedAfter(cert, &d.out.Service.restarts[n]) {
				p.state++
			}
		}
		out = append(out, p)
	}
	return out
}

// ungrounded lists what is in doubt once the evidence at some points has fallen
// away: for each limit and each state between adjustments the time from the
// last good evidence that is left, unless some is left after the last point.
func (d *deviceContext) ungrounded(points []point) []Doubt {
	type key struct {
		limit *records.Limit
		state int
	}
	last := map[key]point{}
	var order []key
	for _, p := range points {
		k := key{p.limit, p.state}
		o, seen := last[k]
		if !seen {
			order = append(order, k)
		}
		p.pathMM = math.Max(p.pathMM, o.pathMM)
		if !seen || p.time.After(o.time) {
			last[k] = p
		} else {
			o.pathMM = p.pathMM
			last[k] = o
		}
	}
	var out []Doubt
	for _, k := range order {
		p := last[k]
		x := Doubt{
			Device: d.id, Limit: p.limit, Kind: NoReference, Found: p.time, Cause: p.source,
			Why: "no later calibration of the reference tells how far off it was",
		}
		if p.check == nil {
			x.Why = "with the certificate nothing tells how far off the device was"
		}
		if k.state < len(d.out.Service.restarts) {
			d.endAt(&x, &d.out.Service.restarts[k.state])
		}
		if d.provenBetween(p.time, x.Until, failure{limit: p.limit, pathMM: p.pathMM}) {
			continue
		}
		d.beginning(&x, failure{limit: p.limit, time: p.time.Add(1), pathMM: p.pathMM})
		d.within(&x)
		out = append(out, x)
	}
	return out
}
