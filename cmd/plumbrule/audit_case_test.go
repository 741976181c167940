package main

import (
	"testing"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
	"plumbrule/rules/figure"
	"plumbrule/rules/impact"
)

// The pack never shows a share as if it were the whole answer where something else has no bound.
func TestPackSaysWhatHasNoBound(t *testing.T) {
	for want, e := range map[string]impact.Effect{
		"80":                           {Most: figure.Known(0.8)},
		"80, and more without a bound": {Most: figure.Known(0.8), Unbounded: true},
		"no bound":                     {Most: figure.Absent("the job states no tolerance"), Unbounded: true},
	} {
		e.Job = &records.Job{ID: "p-2624"}
		var rows table.Table
		(&audited{}).doubtfulJob(&rows, &rules.Device{ID: "scan-03"}, &e)
		if got := rows.Rows[0][4].Shown; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

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
