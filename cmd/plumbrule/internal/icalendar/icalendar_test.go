package icalendar_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"plumbrule/cmd/plumbrule/internal/icalendar"
	"plumbrule/records/calendar"
)

func ExampleCalendar_Write() {
	c := icalendar.Calendar{Product: "plan", At: time.Date(2026, 11, 2, 6, 0, 0, 0, time.UTC), Events: []icalendar.Event{{
		UID: icalendar.UID("works", "check", "mic-01"), Day: calendar.Date{Year: 2026, Month: 11, Day: 13}, Summary: "Check mic-01", Description: "every 4 weeks", Category: "check",
	}}}
	var out strings.Builder
	if err := c.Write(&out); err != nil {
		fmt.Println(err)
	}
	fmt.Print(strings.ReplaceAll(out.String(), "\r\n", "\n")) // its lines end as RFC 5545, 3.1 wants
	// Output:
	// BEGIN:VCALENDAR
	// VERSION:2.0
	// PRODID:-//plumbrule//plan//EN
	// METHOD:PUBLISH
	// BEGIN:VEVENT
	// UID:27a7f1fa96597bd89ee7ca7d@plumbrule
	// DTSTAMP:20261102T060000Z
	// DTSTART;VALUE=DATE:20261113
	// DTEND;VALUE=DATE:20261114
	// TRANSP:TRANSPARENT
	// SUMMARY:Check mic-01
	// DESCRIPTION:every 4 weeks
	// CATEGORIES:check
	// END:VEVENT
	// END:VCALENDAR
}

// Another library reads back what stands in the texts: what separates properties and values there is escaped (RFC 5545, 3.3.11).
func TestTextsAreReadBack(t *testing.T) {
	const hard = "a; b, c: \\n \"d\"\nEND:VEVENT\nwith a long line of more than seventy-five octets, so that it has to be folded µµµµ"
	c := icalendar.Calendar{Product: "page", Name: "works: due", Refresh: "PT1H", Events: []icalendar.Event{
		{UID: icalendar.UID("a"), Summary: hard, Description: hard, Location: hard, Category: "check"},
		{UID: icalendar.UID("b"), Summary: "b", Category: "check"},
	}}
	var out strings.Builder
	if err := c.Write(&out); err != nil {
		t.Fatal(err)
	}
	read, err := ical.NewDecoder(strings.NewReader(out.String())).Decode()
	if err != nil {
		t.Fatal(err)
	}
	events := read.Events()
	if len(events) != 2 {
		t.Fatalf("%d events", len(events))
	}
	for _, name := range []string{ical.PropSummary, ical.PropDescription, ical.PropLocation} {
		if got, err := events[0].Props.Text(name); err != nil || got != hard {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
	if events[1].Props.Get(ical.PropLocation) != nil {
		t.Error("a place where none is named")
	}
	if events[0].Props.Get(ical.PropUID).Value == events[1].Props.Get(ical.PropUID).Value {
		t.Error("two events of one identity")
	}
}

func TestWriterThatFails(t *testing.T) {
	c := icalendar.Calendar{Events: []icalendar.Event{{}}}
	if err := c.Write(broken{}); err == nil {
		t.Error("no error")
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }
