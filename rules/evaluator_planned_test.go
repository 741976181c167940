package rules_test

import (
	"testing"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// TestEntryOfPlannedJobIsForetold: a job that is entered tomorrow and begins
// next month is a record of a later time today, and planned from tomorrow on.
func TestEntryOfPlannedJobIsForetold(t *testing.T) {
	at := time.Date(2026, 11, 2, 9, 0, 0, 0, time.UTC)
	entered := at.AddDate(0, 0, 1)
	begin := calendar.Date{Year: 2026, Month: 12, Day: 1}
	set := &records.Set{
		Site: &records.Site{Zone: time.UTC},
		Jobs: []*records.Job{{ID: "j", File: "jobs/2026/j.toml", Begin: begin, End: begin, Entered: entered}},
	}
	var e rules.Evaluator
	if a := e.At(set, at); a.Later != 1 || !e.Next().Equal(entered) {
		t.Errorf("%d later, next %s; expected 1, %s", a.Later, e.Next(), entered)
	}
	if a := e.At(set, entered); a.Later != 0 {
		t.Errorf("%d later at its entry, expected 0", a.Later)
	}
}
