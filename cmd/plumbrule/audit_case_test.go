package main

import (
	"testing"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// A step of a case is told in a few lines: what it is about and what came of it first, then why, then what it rests on.
func TestStepsOfCasesInWords(t *testing.T) {
	day := calendar.Date{Year: 2026, Month: 6, Day: 10}
	for _, c := range []struct {
		step records.CaseStep
		want string
	}{
		{records.CaseStep{Outcome: records.Confirmed, Reason: "twice", Evidence: "checks/a.toml"}, "confirmed\ntwice\nrests on checks/a.toml"},
		{records.CaseStep{Jobs: []string{"p-1", "p-2"}, Decision: records.Inform, Reason: "delivered"}, "jobs p-1, p-2: inform\ndelivered"},
		{records.CaseStep{Jobs: []string{"p-1"}, Customer: "ND-1"}, "job p-1\ntold to ND-1"},
		{records.CaseStep{Jobs: []string{"p-1"}, Since: day}, "job p-1\nin doubt since 2026-06-10"},
		{records.CaseStep{Since: day, Until: day.AddDays(2)}, "in doubt from 2026-06-10 to 2026-06-12"},
		{records.CaseStep{}, ""},
	} {
		if got := caseStepText(&c.step); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
