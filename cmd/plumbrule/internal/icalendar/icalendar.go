// Package icalendar writes what falls due as an iCalendar file (RFC 5545).
package icalendar

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"plumbrule/records/calendar"
)

// Calendar is a file of events. Its texts are shown as they are: what is
// foreign in them has been made safe before.
type Calendar struct {
	Product string    // what of the program wrote it
	Name    string    // under which a calendar shows it; empty: none
	Refresh string    // how often who subscribes asks again, an RFC 5545 duration; empty: not said
	At      time.Time // stamp of every event
	Events  []Event
}

// Event is work of a day. It is no claim on anybody's time.
type Event struct {
	UID         string // by [UID]
	Day         calendar.Date
	Summary     string
	Description string
	Location    string // empty: none
	Category    string
}

// UID identifies an event by what makes it one. The same parts give the same
// identity, so that a calendar that subscribes moves an event whose day moves.
func UID(parts ...string) string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return hex.EncodeToString(sum[:12]) + "@plumbrule"
}

// Write writes the file. The same calendar gives the same bytes. An error is
// the writer's.
func (c *Calendar) Write(w io.Writer) error {
	out := ics.NewCalendar()
	out.SetProductId("-//plumbrule//" + c.Product + "//EN")
	out.SetMethod(ics.MethodPublish)
	if c.Name != "" {
		out.SetXWRCalName(c.Name)
	}
	if c.Refresh != "" {
		out.SetRefreshInterval(c.Refresh)
	}
	for i := range c.Events {
		e := &c.Events[i]
		v := out.AddEvent(e.UID)
		v.SetDtStampTime(c.At.UTC())
		v.SetAllDayStartAt(midnight(e.Day))
		v.SetAllDayEndAt(midnight(e.Day.AddDays(1)))
		v.SetTimeTransparency(ics.TransparencyTransparent)
		v.SetSummary(e.Summary)
		v.SetDescription(e.Description)
		if e.Location != "" {
			v.SetLocation(e.Location)
		}
		v.AddCategory(e.Category)
	}
	return out.SerializeTo(w, ics.WithNewLineWindows)
}

func midnight(d calendar.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}
