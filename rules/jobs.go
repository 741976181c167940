package rules

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
)

// doubtfulJobs lists the jobs measured within the range of a limit from the
// last good evidence for it before a failure to the adjustment that ended the
// state the failure was found in, or to the check that found it good again; the
// zero time: nothing has. Whether a job suffered
// depends on its tolerance, length and path, and is for a person to look at.
func (d *deviceContext) doubtfulJobs(f failure, ended time.Time) {
	limit := f.limit
	since, window := d.lastGood(f)
	over, _ := limit.Range()
	var names []string
	var sources []Source
	for _, j := range d.jobs[d.id] {
		if !since.IsZero() && j.End.Before(d.day(since)) || !ended.IsZero() && j.Begin.After(d.day(ended)) {
			continue
		}
		// A job states its longest length; shorter ones it measured as well.
		if slices.ContainsFunc(j.Measured, func(m records.JobFeature) bool {
			return m.Quantity == limit.Quantity && m.Length.Millimetres() > over
		}) {
			names = append(names, j.ID)
			sources = append(sources, Source{File: j.File})
		}
	}
	if len(names) > 0 {
		d.add("jobs-in-doubt", fmt.Sprintf("%s measured %s: %s", window, limit.Quantity, strings.Join(names, ", ")), []records.Quantity{limit.Quantity}, sources...)
	}
}

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

// lastGood finds where the window of doubt before a failure begins: at the last
// evidence that the device kept the same limit, a check all of whose readings
// of it passed or a calibration all of whose errors did. It begins no earlier
// than the last adjustment before the failure, since the error was found in
// the state that one left. The zero time means that nothing good is known.
//
// Where the limit counts the path, a pass over a shorter path says nothing about
// the one that failed: good evidence is then a check by the same procedure, or
// one over at least that path (common practice, no source).
func (d *deviceContext) lastGood(f failure) (since time.Time, window string) {
	failure := f.time
	var began *restart
	for i := range d.out.Service.restarts {
		if r := &d.out.Service.restarts[i]; r.time.Before(failure) {
			began = r
		}
	}
	standing := func(t time.Time) bool {
		return t.Before(failure) && t.After(since) && (began == nil || !t.Before(began.time))
	}
	for i := len(d.view.checks) - 1; i >= 0 && since.IsZero(); i-- {
		if k := d.view.checks[i]; standing(k.Time) && (began == nil || d.after(k, began)) && d.keeps(k, f) {
			since = k.Time
		}
	}
	for i := range d.accepted {
		a := &d.accepted[i]
		start := a.cert.Date.StartIn(d.zone)
		if standing(start) && (began == nil || d.calibratedAfter(a.cert, began)) && d.leftWithin(a, f) {
			since = start
		}
	}
	switch {
	case !since.IsZero():
		return since, fmt.Sprintf("since the last good evidence of %s", d.day(since))
	case began != nil:
		return began.time, fmt.Sprintf("since the adjustment or repair of %s, for want of good evidence after it,", d.day(began.time))
	}
	return since, "since the beginning, for want of good evidence,"
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

// jobsUnderWay compares jobs under way with what the device may presently
// measure.
func (d *deviceContext) jobsUnderWay() {
	for _, j := range d.jobs[d.id] {
		if d.over(j.End) {
			continue
		}
		for i := range j.Measured {
			m := &j.Measured[i]
			if why := d.barred(m); why != "" {
				d.add("job-beyond-limits", fmt.Sprintf("job %s measures %s up to %s: %s", j.ID, m.Quantity, m.Length, why),
					[]records.Quantity{m.Quantity}, Source{j.File, m.Line})
			}
		}
	}
}

// barred says why the device may presently not measure something, or nothing.
// It comes after all reasons that bear on fitness.
func (d *deviceContext) barred(m *records.JobFeature) string {
	if f := d.out.Fitness; f == Unfit || f == Unknown {
		return "the device is " + string(f)
	}
	may, _ := d.allowed()
	for _, s := range may {
		if s.covers(m.Quantity, m.Length.Millimetres()) {
			return ""
		}
	}
	return "not among what it may measure"
}
