package page

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// calendarOf writes what falls due as all-day events (RFC 5545), which are no claim on anybody's time. The event of one thing
// keeps its identity when its date moves, so that a calendar that subscribes moves it. The same view gives the same bytes.
func calendarOf(e *edition) (*answer, error) {
	c := ics.NewCalendar()
	c.SetProductId("-//plumbrule//page//EN")
	c.SetMethod(ics.MethodPublish)
	c.SetXWRCalName(named(e.site()) + ": due")
	c.SetRefreshInterval("PT1H")
	seen := map[string]int{}
	for _, d := range duties(e.View) {
		key := strings.Join([]string{e.site(), d.Kind, d.Subject, d.Due.What}, "\x00")
		seen[key]++
		if n := seen[key]; n > 1 {
			key += fmt.Sprintf("\x00%d", n)
		}
		sum := sha256.Sum256([]byte(key))
		v := c.AddEvent(hex.EncodeToString(sum[:12]) + "@plumbrule")
		v.SetDtStampTime(e.At.UTC())
		v.SetAllDayStartAt(midnight(d.Due.Date))
		v.SetAllDayEndAt(midnight(d.Due.Date.AddDays(1)))
		v.SetTimeTransparency(ics.TransparencyTransparent)
		v.SetSummary(dutySummary(&d))
		v.SetDescription(dutyDescription(&d))
		if d.Place != "" {
			v.SetLocation(named(d.Place))
		}
		category := "check"
		if d.Due.What == records.OfCalibration {
			category = "calibration"
		}
		v.AddCategory(category)
	}
	var out bytes.Buffer
	if err := c.SerializeTo(&out, ics.WithNewLineWindows); err != nil {
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

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}
