package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records/calendar"
	"plumbrule/rules/plan"
)

// writeCalendar writes the batches as all-day events of an iCalendar file (RFC 5545), which are no claim on anybody's time.
// The same records and instant give the same bytes.
func writeCalendar(w io.Writer, p *planned) error {
	c := ics.NewCalendar()
	c.SetProductId("-//plumbrule//plan//EN")
	c.SetMethod(ics.MethodPublish)
	for i := range p.Batches {
		b := &p.Batches[i]
		e := c.AddEvent(p.uid(b))
		e.SetDtStampTime(p.at.UTC())
		e.SetAllDayStartAt(midnight(b.Day))
		e.SetAllDayEndAt(midnight(b.Day.AddDays(1)))
		e.SetTimeTransparency(ics.TransparencyTransparent)
		e.SetSummary(show.Text(batchTitle(b)))
		var lines []string
		for n := range b.Tasks {
			t := &b.Tasks[n]
			lines = append(lines, show.Text(fmt.Sprintf("%s: %s", t.Day, taskWords(t))))
		}
		e.SetDescription(strings.Join(lines, "\n"))
		if b.Place != "" {
			e.SetLocation(show.Text(b.Place))
		}
		e.AddCategory(string(b.Kind))
	}
	return c.SerializeTo(w, ics.WithNewLineWindows)
}

// batchTitle says in a line what is to be done.
func batchTitle(b *plan.Batch) string {
	seen := map[string]bool{}
	var subjects []string
	for i := range b.Tasks {
		if s := b.Tasks[i].Subject; !seen[s] {
			seen[s] = true
			subjects = append(subjects, s)
		}
	}
	what, with := "Check", "with"
	if b.Kind == plan.Calibration {
		what, with = "Send to calibration", "at"
	}
	out := what + " " + strings.Join(subjects, ", ")
	if b.With != "" {
		out += " " + with + " " + b.With
	}
	return out
}

// uid identifies a batch by what makes it one, so that it is the same in the next plan.
func (p *planned) uid(b *plan.Batch) string {
	site := ""
	if p.set.Site != nil {
		site = p.set.Site.Name
	}
	sum := sha256.Sum256([]byte(strings.Join([]string{site, string(b.Kind), b.With, b.Place, b.Week.String()}, "\x00")))
	return hex.EncodeToString(sum[:12]) + "@plumbrule"
}

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}
