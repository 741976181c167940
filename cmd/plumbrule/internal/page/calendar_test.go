package page

import (
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-ical"

	"plumbrule/records"
	"plumbrule/rules"
)

// readCalendar reads an iCalendar with another library than writes it, checks the form of its lines (RFC 5545, 3.1), and returns
// its events by their identity.
func readCalendar(t *testing.T, text string) map[string]ical.Event {
	t.Helper()
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
	}
	c, err := ical.NewDecoder(strings.NewReader(text)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]ical.Event{}
	for _, e := range c.Events() {
		uid, err := e.Props.Text(ical.PropUID)
		if err != nil || out[uid].Component != nil {
			t.Errorf("event %q twice, or %v", uid, err)
		}
		out[uid] = e
	}
	return out
}

func summaries(t *testing.T, events map[string]ical.Event) map[string]string {
	t.Helper()
	out := map[string]string{}
	for uid, e := range events {
		text, err := e.Props.Text(ical.PropSummary)
		if err != nil {
			t.Fatal(err)
		}
		out[text] = uid
	}
	return out
}

// One event a due date, on its day, with the evaluation as its stamp; the same view gives the same bytes, and what moves to
// another date stays the same event.
func TestCalendar(t *testing.T) {
	v := example(t)
	s, web, _ := serve(t, v)
	answer, text := get(t, web.URL+"/calendar.ics")
	if answer.Header.Get("Content-Type") != "text/calendar; charset=utf-8" {
		t.Errorf("%v", answer.Header)
	}
	events := readCalendar(t, text)
	if len(events) != len(duties(v)) || len(events) < 20 {
		t.Errorf("%d events of %d", len(events), len(duties(v)))
	}
	uid := summaries(t, events)["Calibrate height-01: overdue"]
	e := events[uid]
	if uid == "" {
		t.Fatalf("%v", summaries(t, events))
	}
	start, err := e.DateTimeStart(nil)
	end, err2 := e.DateTimeEnd(nil)
	stamp, err3 := e.Props.DateTime(ical.PropDateTimeStamp, nil)
	if err != nil || err2 != nil || err3 != nil || start.Format("2006-01-02") != "2026-10-07" || end.Sub(start) != 24*time.Hour ||
		e.Props.Get(ical.PropDateTimeStart).Params.Get("VALUE") != "DATE" || !stamp.Equal(noon()) {
		t.Errorf("from %v to %v, stamp %v, %v %v %v", start, end, stamp, err, err2, err3)
	}

	later := *v
	a := *v.Assessment
	a.Devices = append([]rules.Device(nil), a.Devices...)
	for i := range a.Devices {
		if d := &a.Devices[i]; d.ID == "height-01" { // calibrated
			d.Calibration.Date, d.Calibration.State, d.Calibration.What = d.Calibration.Date.AddDays(365), rules.Ahead, records.OfCalibration
		}
	}
	later.Assessment = &a
	display(t, s, &later)
	_, text = get(t, web.URL+"/calendar.ics")
	moved := readCalendar(t, text)[uid]
	if start, err := moved.DateTimeStart(nil); err != nil || start.Format("2006-01-02") != "2027-10-07" {
		t.Errorf("moved to %v, %v", start, err)
	}
	display(t, s, v)
	if _, again := get(t, web.URL+"/calendar.ics"); again == text || len(readCalendar(t, again)) != len(events) {
		t.Error("another view gave the same bytes")
	}
}
