package page

import (
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert"
	"plumbrule/records"
	"plumbrule/records/calendar"
)

// Days stand under the day of the week they fall on: November 2026 begins on a Sunday, February 2027 on a Monday (cal 11 2026, cal 2
// 2027).
func TestMonth(t *testing.T) {
	today := calendar.Date{Year: 2026, Month: time.November, Day: 2}
	for _, c := range []struct {
		month        calendar.Date
		weeks, first int
	}{{calendar.Date{Year: 2026, Month: time.November, Day: 1}, 6, 6}, {calendar.Date{Year: 2027, Month: time.February, Day: 1}, 4, 0}} {
		m := dueMonthOf(c.month, today, nil)
		if len(m.Weeks) != c.weeks || m.Weeks[0][c.first].Day != 1 || c.first > 0 && m.Weeks[0][c.first-1].Day != 0 {
			t.Errorf("%s: %v", m.Name, m.Weeks)
		}
	}
}

// Only so many alerts that are over, and so many faults, are listed; how many more there are is told.
func TestListsAreBounded(t *testing.T) {
	v := example(t)
	v.Alerts = nil
	for range mostCleared + 3 {
		v.Alerts = append(v.Alerts, alert.Alert{Raised: noon(), Cleared: noon()})
	}
	for range mostFaults + 4 {
		v.Diagnostics = append(v.Diagnostics, records.Diagnostic{Severity: records.Warning})
	}
	e := newEdition(v, "")
	if list := alertsOf(e); len(list.Cleared) != mostCleared || list.More != 3 {
		t.Errorf("%d cleared, %d more", len(list.Cleared), list.More)
	}
	if list := recordsOf(e); len(list.Faults) != mostFaults || list.More != 4 || list.Warnings != mostFaults+4 {
		t.Errorf("%d faults, %d more", len(list.Faults), list.More)
	}
}

// An alert that has become graver since somebody took note of it is not shown as looked after.
func TestGraverThanAcknowledged(t *testing.T) {
	v := example(t)
	v.Alerts = []alert.Alert{{
		Finding: alert.Finding{Severity: alert.Unfit}, Raised: noon(),
		Acknowledged: &alert.Acknowledgement{By: "mk", Why: "known", At: noon(), Severity: alert.Limited},
	}}
	list := alertsOf(newEdition(v, ""))
	if len(list.Raised) != 1 || list.Raised[0].By != "" {
		t.Errorf("%+v", list)
	}
}
