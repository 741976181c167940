package main

import (
	"fmt"
	"io"
	"strings"

	"plumbrule/cmd/plumbrule/internal/icalendar"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules/plan"
)

// writeCalendar writes the batches as events of whole days. The same records and instant give the same bytes.
func writeCalendar(w io.Writer, p *planned) error {
	c := icalendar.Calendar{Product: "plan", At: p.at}
	for i := range p.Batches {
		b := &p.Batches[i]
		var lines []string
		for n := range b.Tasks {
			t := &b.Tasks[n]
			lines = append(lines, show.Text(fmt.Sprintf("%s: %s", t.Day, taskWords(t))))
		}
		c.Events = append(c.Events, icalendar.Event{
			UID: p.uid(b), Day: b.Day, Summary: show.Text(batchTitle(b)), Description: strings.Join(lines, "\n"), Location: show.Text(b.Place), Category: string(b.Kind),
		})
	}
	return c.Write(w)
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
	return icalendar.UID(site, string(b.Kind), b.With, b.Place, b.Week.String())
}
