package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
)

// findCases puts together the device's cases, with the jobs that are in doubt by
// what each is about. What was decided about a job before a graver error was
// found in the same window does not stand.
func (d *deviceContext) findCases() {
	d.out.Cases = d.casesOf(d.id)
	if len(d.out.Cases) == 0 {
		return
	}
	d.inDoubt = d.doubtful()
	for i := range d.out.Cases {
		k := &d.out.Cases[i]
		first := true
		for j := range d.inDoubt {
			x := &d.inDoubt[j]
			if !k.about(x) {
				continue
			}
			k.span(x, first)
			first = false
			for _, o := range x.Jobs {
				k.Jobs = append(k.Jobs, o.Job.ID)
				if s := k.Decisions[o.Job.ID]; s != nil && !x.knownBy(s.Time) {
					delete(k.Decisions, o.Job.ID)
				}
			}
		}
		k.Jobs = distinct(k.Jobs)
		k.adjusters(d.view.events)
		k.lacks(d.out.Service.State == Retired, func(s *records.CaseStep) string { return d.unprovenRelease(k, s.Evidence) })
	}
}

// span widens the window of a case by that of a doubt.
func (c *Case) span(x *Doubt, first bool) {
	if x.Found.Before(c.Found) {
		c.Found = x.Found
	}
	if first {
		c.Since, c.Until = x.Since, x.Until
		return
	}
	if x.Since.IsZero() || !c.Since.IsZero() && x.Since.Before(c.Since) {
		c.Since = x.Since
	}
	if x.Until.IsZero() || !c.Until.IsZero() && x.Until.After(c.Until) {
		c.Until = x.Until
	}
}

// knownBy reports whether the gravest error of the window was known at an
// instant, or one as grave.
func (x *Doubt) knownBy(t time.Time) bool {
	known, gravest := 0.0, 0.0
	for i := range x.Findings {
		e := &x.Findings[i]
		share := math.Abs(e.Decision.ErrorUM) / e.Decision.MPEUM
		gravest = math.Max(gravest, share)
		if !e.Time.After(t) {
			known = math.Max(known, share)
		}
	}
	return known >= gravest
}

// reportCases reports open cases, and those closed with something left to do.
func (d *deviceContext) reportCases() {
	for i := range d.out.Cases {
		d.reportCase(&d.out.Cases[i])
	}
}

func (d *deviceContext) reportCase(k *Case) {
	lacks := "nothing is left but to close it"
	if len(k.Lacks) > 0 {
		lacks = "it lacks " + strings.Join(k.Lacks, "; ")
	}
	switch {
	case k.Open:
		d.add("case-open", fmt.Sprintf("case %s is open since %s, with %s: %s", k.ID, d.day(k.Opened.Time), k.Owner, lacks), k.Quantities, Source{File: k.Opened.File})
	case len(k.Lacks) > 0:
		closed := k.last(records.CaseClosed)
		d.add("case-open", fmt.Sprintf("case %s was closed on %s by %s, and %s", k.ID, d.day(closed.Time), closed.By, lacks), k.Quantities, Source{File: closed.File}, Source{File: k.Opened.File})
	}
}

// about reports whether a case is about a doubt: it names a record that shows
// it, or names none, and was opened while the doubt lasted.
func (c *Case) about(x *Doubt) bool {
	if !c.covers(x.Limit.Quantity) {
		return false
	}
	name := withoutSuffix(c.Opened.Finding)
	if name == "" {
		return !x.Found.After(c.Opened.Time) && (x.Until.IsZero() || !x.Until.Before(c.Opened.Time))
	}
	named := func(file string) bool { return withoutSuffix(file) == name }
	return named(x.Cause.File) || slices.ContainsFunc(x.Findings, func(e Evidence) bool { return named(e.Source.File) })
}

// caseless keeps a failure that no case answers.
func (d *deviceContext) caseless(f failure, source Source) {
	if slices.ContainsFunc(d.out.Cases, func(k Case) bool { return k.answers(f.limit.Quantity, f.time) }) {
		return
	}
	if !slices.Contains(d.unanswered, f.limit.Quantity) {
		d.unanswered = append(d.unanswered, f.limit.Quantity)
	}
	if !slices.Contains(d.unansweredBy, source) {
		d.unansweredBy = append(d.unansweredBy, source)
	}
}

// noCase reports the failures that no case answers.
func (d *deviceContext) noCase() {
	if len(d.unanswered) > 0 {
		d.add("case-missing", "no case opened for the failure of "+quantityWords(d.unanswered), d.unanswered, d.unansweredBy...)
	}
}

// decided reports whether it was decided what becomes of a job, by somebody who
// could know of a failure as grave as one.
func (d *deviceContext) decided(job string, f failure) bool {
	known := func(s *records.CaseStep) bool {
		for i := range d.inDoubt {
			x := &d.inDoubt[i]
			if x.Limit == f.limit && slices.ContainsFunc(x.Findings, func(e Evidence) bool { return e.Time.Equal(f.time) }) {
				return x.knownBy(s.Time)
			}
		}
		return !s.Time.Before(f.time)
	}
	return slices.ContainsFunc(d.out.Cases, func(k Case) bool {
		s := k.Decisions[job]
		return s != nil && k.covers(f.limit.Quantity) && known(s)
	})
}

// unprovenRelease says what keeps a release from being proven, or nothing: it
// names a passed check, or an accepted certificate without failure, that was
// made after what was found and after every adjustment, or a return to
// service that does (ISO/IEC 17025:2017, 6.4.4).
func (d *deviceContext) unprovenRelease(k *Case, evidence string) string {
	for _, e := range d.view.events {
		if withoutSuffix(e.File) == withoutSuffix(evidence) && e.Evidence != "" {
			return d.unprovenRelease(k, e.Evidence)
		}
	}
	if c := d.check(evidence); c != nil {
		switch {
		case !c.Time.After(k.Found):
			return "the check it names was made no later than what was found"
		case d.restartedAfter(c):
			return "the device was adjusted after the check it names"
		case !d.passed(c):
			return "the check it names did not pass"
		}
		return ""
	}
	for i := range d.accepted {
		a := &d.accepted[i]
		if withoutSuffix(a.cert.File) != withoutSuffix(evidence) {
			continue
		}
		switch {
		case a.cert.Date.Before(d.day(k.Found)):
			return "the certificate it names is of a day before the finding"
		case !d.stands(a.cert):
			return "the device was adjusted after the certificate it names"
		case !d.leftGood(a):
			return "the certificate it names shows a failure"
		}
		return ""
	}
	return "the evidence it names is no check and no accepted certificate of the device"
}
