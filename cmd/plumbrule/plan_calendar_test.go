package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/emersion/go-ical"
)

// The calendar is read back by another library: one whole-day event a batch, with the instant as its stamp, and the same bytes
// for the same question. Lines end with CR LF and hold at most 75 octets (RFC 5545, 3.1).
func TestCalendarIsReadBack(t *testing.T) {
	dir := t.TempDir()
	records, err := filepath.Abs(exampleRecords(t))
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, at string) string {
		if status, _, stderr := command(t, dir, "-C", records, "plan", "--at", at, "--weeks", "2", "--calendar", filepath.Join(dir, name)); status != statusFine {
			t.Fatal(stderr)
		}
		content, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(content)
	}
	content := write("a.ics", "2026-11-02T07:00")
	if again := write("b.ics", "2026-11-02T07:00"); again != content {
		t.Error("the same question gave other bytes")
	}
	for line := range strings.SplitSeq(strings.TrimSuffix(content, "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("line of %d octets: %q", len(line), line)
		}
	}
	events := eventsOf(t, content)
	tasks := 0
	seen := map[string]bool{}
	for uid, e := range events {
		seen[uid] = true
		if stamp, err := e.Props.DateTime(ical.PropDateTimeStamp, nil); err != nil || stamp.Format("2006-01-02T15:04Z07:00") != "2026-11-02T06:00Z" {
			t.Errorf("%s: stamp %v, %v", uid, stamp, err)
		}
		start, err := e.DateTimeStart(nil)
		if err != nil {
			t.Fatal(err)
		}
		end, err := e.DateTimeEnd(nil)
		if err != nil || end.Sub(start).Hours() != 24 || e.Props.Get(ical.PropDateTimeStart).Params.Get("VALUE") != "DATE" {
			t.Errorf("%s: from %v to %v, %v", uid, start, end, err)
		}
		text, err := e.Props.Text(ical.PropDescription)
		if err != nil {
			t.Fatal(err)
		}
		tasks += len(strings.Split(text, "\n"))
	}
	status, csv, _ := command(t, dir, "-C", records, "plan", "--at", "2026-11-02T07:00", "--weeks", "2", "--format", "csv")
	rows := strings.Split(strings.TrimSpace(csv), "\n")[1:]
	if status != statusFine || tasks != len(rows) || tasks == 0 {
		t.Errorf("%d pieces of work in the calendar, %d in the table", tasks, len(rows))
	}
	for _, row := range rows {
		if uid := row[strings.LastIndex(row, ",")+1:]; !seen[uid] {
			t.Errorf("no event %s", uid)
		}
	}
	// What is due in a later week is the same event the day after.
	kept := 0
	for uid := range eventsOf(t, write("c.ics", "2026-11-03T07:00")) {
		if seen[uid] {
			kept++
		}
	}
	if kept < len(seen)/2 {
		t.Errorf("%d of %d events kept their identity", kept, len(seen))
	}
}

func eventsOf(t *testing.T, content string) map[string]ical.Event {
	t.Helper()
	c, err := ical.NewDecoder(strings.NewReader(content)).Decode()
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
