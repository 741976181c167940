package page

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/icalendar"
	"plumbrule/records"
	"plumbrule/rules"
)

// calendarOf writes what falls due as events of whole days. The event of one thing keeps its identity when its date moves. The
// same view gives the same bytes.
func calendarOf(e *edition) (*answer, error) {
	c := icalendar.Calendar{Product: "page", Name: named(e.site()) + ": due", Refresh: "PT1H", At: e.At}
	seen := map[string]int{}
	for _, d := range duties(e.View) {
		parts := []string{e.site(), d.Kind, d.Subject, d.Due.What}
		key := strings.Join(parts, "\x00")
		seen[key]++
		if n := seen[key]; n > 1 {
			parts = append(parts, strconv.Itoa(n))
		}
		category := "check"
		if d.Due.What == records.OfCalibration {
			category = "calibration"
		}
		c.Events = append(c.Events, icalendar.Event{
			UID: icalendar.UID(parts...), Day: d.Due.Date, Summary: dutySummary(&d), Description: dutyDescription(&d), Location: named(d.Place), Category: category,
		})
	}
	var out bytes.Buffer
	if err := c.Write(&out); err != nil {
		return nil, err
	}
	return newAnswer("text/calendar; charset=utf-8", out.Bytes()), nil
}

// dutySummary says in a line what is to be done with what.
func dutySummary(d *duty) string {
	text := "Check " + named(d.Subject) + " by " + named(d.Due.What)
	if d.Due.What == records.OfCalibration {
		text = "Calibrate " + named(d.Subject)
	}
	if word := dueDateOf(d.Due).Word; word != "" && d.Due.State != rules.Soon {
		text += ": " + word
	}
	return text
}

func dutyDescription(d *duty) string {
	lines := []string{fmt.Sprintf("Due by %s.", d.Due.Date)}
	if d.Due.State == rules.Missing {
		lines[0] = fmt.Sprintf("Never done; due since %s.", d.Due.Date)
	}
	if !d.Due.Last.IsZero() {
		lines = append(lines, fmt.Sprintf("Last done on %s, interval %s.", d.Due.Last, d.Due.Interval))
	}
	for i, s := range d.Due.Sources {
		if i == 5 {
			break
		}
		lines = append(lines, named(place(s)))
	}
	return strings.Join(lines, "\n")
}
