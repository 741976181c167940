package main

import (
	"os"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// exampleAudit is the example works over its 18 months.
func exampleAudit(tb testing.TB) *audited {
	tb.Helper()
	set, diagnostics := records.Load(os.DirFS("../../examples/propeller-works"), records.Options{})
	if records.HasErrors(diagnostics) {
		tb.Fatal(diagnostics)
	}
	at := time.Date(2026, 11, 2, 7, 0, 0, 0, set.Site.Zone)
	from, err := calendar.ParseDate("2025-05-02")
	if err != nil {
		tb.Fatal(err)
	}
	a := &audited{judged: &judged{set: set, at: at, assessment: rules.Evaluate(set, at, rules.Options{})}, zone: set.Site.Zone, from: from, all: true, about: map[string]bool{}}
	for i := range a.assessment.Devices {
		d := &a.assessment.Devices[i]
		a.devices, a.about[d.ID] = append(a.devices, d), true
	}
	return a
}

// The bands skip the days on which nothing can change. On every ninth day they say what judging that day alone says.
func TestBandsAreWhatEachDayIs(t *testing.T) {
	a := exampleAudit(t)
	over := a.overTime()
	if !over.judged {
		t.Fatal("the example has too many checks to be judged day by day")
	}
	on := func(list []pack.Band, day calendar.Date) pack.Band {
		for _, b := range list {
			if !day.Before(b.From) && !day.After(b.To) {
				return b
			}
		}
		return pack.Band{}
	}
	for day := a.from; day.Before(a.assessment.Today); day = day.AddDays(9) {
		judged := rules.Evaluate(a.set, day.EndIn(a.zone).Add(-1), rules.Options{})
		for i := range judged.Devices {
			d := &judged.Devices[i]
			if _, want := fitnessBand(d); on(over.fitness[d.ID], day).Words != want {
				t.Errorf("%s on %s: fitness is drawn as %q, judged as %q", d.ID, day, on(over.fitness[d.ID], day).Words, want)
			}
			if _, want := calibrationBand(d); on(over.calibration[d.ID], day).Words != want {
				t.Errorf("%s on %s: calibration is drawn as %q, judged as %q", d.ID, day, on(over.calibration[d.ID], day).Words, want)
			}
			overdue := d.Calibration.State == rules.Overdue
			listed := false
			for _, l := range over.late {
				listed = listed || l.device == d.ID && l.what == records.OfCalibration && !day.Before(l.since) && !day.After(l.until)
			}
			if overdue != listed {
				t.Errorf("%s on %s: calibration overdue is %t, and listed is %t", d.ID, day, overdue, listed)
			}
		}
	}
}

func BenchmarkOverTime(b *testing.B) {
	a := exampleAudit(b)
	for b.Loop() {
		a.overTime()
	}
}
