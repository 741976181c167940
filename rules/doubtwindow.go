package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
)

// failure is a finding outside a limit: when, by which procedure, and over which
// path where the limit counts it.
type failure struct {
	limit     *records.Limit
	time      time.Time
	procedure string
	pathMM    float64
}

// failureOf describes the failure that evidence shows.
func failureOf(e *Evidence) failure {
	f := failure{limit: e.Limit, time: e.Time, procedure: e.From}
	switch {
	case !e.Limit.CountsPath():
	case e.Certified != nil:
		f.pathMM = e.Certified.Path.Millimetres()
	default:
		f.pathMM = e.Judgement.Reading.Path.Millimetres()
	}
	return f
}

// windowStart is where a window of doubt begins: at good evidence, for want of
// it at an adjustment, or nowhere.
type windowStart struct {
	time    time.Time // zero: nothing is known to go by
	good    Source    // the good evidence; without a file: none
	restart *restart  // set where there is no good evidence since it
}

// source is the record the window begins with; without a file where none is
// known.
func (w *windowStart) source() Source {
	if w.restart != nil {
		return w.restart.source
	}
	return w.good
}

// sinceWords says for people where a window begins.
func (d *deviceContext) sinceWords(w *windowStart) string {
	switch {
	case w.good.File != "":
		return fmt.Sprintf("since the last good evidence of %s", d.day(w.time))
	case w.restart != nil:
		return fmt.Sprintf("since the adjustment or repair of %s, for want of good evidence after it,", d.day(w.time))
	}
	return "since the beginning, for want of good evidence,"
}

// lastGood finds where the window of doubt before a failure begins: at the last
// evidence that the device kept the same limit, a check all of whose readings
// of it passed or a calibration all of whose errors did. It begins no earlier
// than the last adjustment before the failure, since the error was found in
// the state that one left.
//
// Where the limit counts the path, a pass over a shorter path says nothing about
// the one that failed: good evidence is then a check by the same procedure, or
// one over at least that path (common practice, no source).
func (d *deviceContext) lastGood(f failure) windowStart {
	var began *restart
	for i := range d.out.Service.restarts {
		if r := &d.out.Service.restarts[i]; r.time.Before(f.time) {
			began = r
		}
	}
	var out windowStart
	standing := func(t time.Time) bool {
		return t.Before(f.time) && t.After(out.time) && (began == nil || !t.Before(began.time))
	}
	for i := len(d.view.checks) - 1; i >= 0 && out.time.IsZero(); i-- {
		if k := d.view.checks[i]; standing(k.Time) && (began == nil || d.after(k, began)) && d.keeps(k, f) {
			out.time, out.good = k.Time, Source{File: k.File}
		}
	}
	for i := range d.accepted {
		a := &d.accepted[i]
		start := a.cert.Date.StartIn(d.zone)
		if standing(start) && (began == nil || d.calibratedAfter(a.cert, began)) && d.leftWithin(a, f) {
			out.time, out.good = start, Source{File: a.cert.File}
		}
	}
	if out.time.IsZero() && began != nil {
		out.time, out.restart = began.time, began
	}
	return out
}

// keeps reports whether a check shows that a limit was kept: it has readings of
// it, and all of them passed.
func (d *deviceContext) keeps(k *records.Check, f failure) bool {
	limit := f.limit
	b := d.basis(k)
	if b.why.code != "" {
		return false
	}
	judged := 0
	for r := range k.Readings {
		if s := d.subject(&b, k.Readings[r].Feature); s.limit != limit {
			continue
		}
		j, why := d.judge(&b, &k.Readings[r])
		if why.code != "" || !good(j.Decision.Verdict) {
			return false
		}
		if k.Procedure == f.procedure || !limit.CountsPath() || k.Readings[r].Path.Millimetres() >= f.pathMM {
			judged++
		}
	}
	return judged > 0
}

// leftWithin reports whether a calibration left the device within a limit.
func (d *deviceContext) leftWithin(a *accepted, f failure) bool {
	limit := f.limit
	if d.supposed != nil && d.supposed.cert == a.cert {
		return false
	}
	judged := 0
	errs := left(a.cert)
	for i := range errs {
		e := &errs[i]
		if !a.covers(e.Quantity) || d.record.LimitFor(e.Quantity, e.Length.Millimetres()) != limit {
			continue
		}
		if decision, err := d.decideCertified(e, limit); err != nil || !good(decision.Verdict) {
			return false
		}
		if !limit.CountsPath() || e.Path.Millimetres() >= f.pathMM {
			judged++
		}
	}
	return judged > 0
}

// bracket returns the instants after and before which a job was measured, as far
// as it names checks of the device made right before and right after it; zero:
// only its days are known.
func (d *deviceContext) bracket(j *records.Job) (began, ended time.Time) {
	for _, name := range j.CheckedBefore {
		if k := d.check(name); k != nil && k.Time.After(began) {
			began = k.Time
		}
	}
	for _, name := range j.CheckedAfter {
		if k := d.check(name); k != nil && (ended.IsZero() || k.Time.Before(ended)) {
			ended = k.Time
		}
	}
	return began, ended
}

// DoubtfulJob is a job measured while results were in doubt, with what it
// measured in the range of the limit.
type DoubtfulJob struct {
	Job      *records.Job
	Measured []*records.JobFeature
}

// jobsWithin lists the jobs measured within the range of a limit in a window of
// doubt. A zero beginning or end is open. A job states its longest length;
// shorter ones it measured as well. The day of a job counts whole, unless it
// names the checks between which it was measured.
func (d *deviceContext) jobsWithin(limit *records.Limit, since, until time.Time) []DoubtfulJob {
	over, _ := limit.Range()
	var out []DoubtfulJob
	for _, j := range d.jobs[d.id] {
		began, ended := d.bracket(j)
		if !since.IsZero() && (j.End.Before(d.day(since)) || !ended.IsZero() && !ended.After(since)) {
			continue
		}
		if !until.IsZero() && (j.Begin.After(d.day(until)) || !began.IsZero() && !began.Before(until)) {
			continue
		}
		one := DoubtfulJob{Job: j}
		for i := range j.Measured {
			if m := &j.Measured[i]; m.Quantity == limit.Quantity && m.Length.Millimetres() > over {
				one.Measured = append(one.Measured, m)
			}
		}
		if len(one.Measured) > 0 {
			out = append(out, one)
		}
	}
	return out
}
