package audit

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

// entered reports records of the period that name nobody, or were entered long
// after what they report.
func (f *finder) entered() {
	for _, id := range f.devices {
		for _, k := range f.known.Checks[id] {
			f.record(id, "the check "+k.Procedure+" of", k.By, k.Time, k.Entered, k.File)
		}
	}
	for _, id := range f.subjects() {
		for _, e := range f.known.Events[id] {
			f.record(id, fmt.Sprintf("the %s of", e.Kind), e.By, e.Time, e.Entered, e.File)
		}
		for _, c := range f.known.Certificates[id] {
			f.received(id, c)
		}
		for _, c := range f.casesOf(id) {
			for _, s := range c.Steps {
				f.record(id, fmt.Sprintf("step %q of case %s of", s.Step, c.ID), s.By, s.Time, s.Entered, s.File)
			}
		}
	}
	for _, j := range f.jobsLookedAt() {
		f.record(j.ID, "the job that ended on", j.By, j.End.EndIn(f.zone).Add(-time.Second), j.Entered, j.File)
	}
}

// received reports a certificate entered long after it came; where that day is
// not stated nothing is known.
func (f *finder) received(id string, c *records.Certificate) {
	what, happened := "certificate "+c.Number+" entered on", c.Entered
	if !c.Received.IsZero() {
		what, happened = "certificate "+c.Number+" received on", c.Received.EndIn(f.zone).Add(-time.Second)
	}
	f.record(id, what, c.By, happened, c.Entered, c.File)
}

func (f *finder) record(subject, what, by string, happened, entered time.Time, file string) {
	if !f.within(happened) && !f.within(entered) {
		return
	}
	source := rules.Source{File: file}
	if by == "" {
		f.add("initials-missing", subject, fmt.Sprintf("%s %s names nobody", what, f.day(happened)), source)
	}
	if entered.Sub(happened) > lateDays*24*time.Hour {
		f.add("entered-late", subject, fmt.Sprintf("%s %s was entered on %s, %d days later", what, f.day(happened), f.day(entered), f.day(happened).DaysUntil(f.day(entered))), source)
	}
}
