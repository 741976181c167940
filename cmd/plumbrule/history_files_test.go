package main

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/records/history"
)

// Steps of a case belong to the device that the case was opened about, and one that was corrected names what corrects it.
func TestHistoryOfCases(t *testing.T) {
	const opened, later = "cases/c-1/2026-11-25T0900-opened.toml", "cases/c-1/2026-11-25T0910-opened.toml"
	p := &pastOf{
		judged: &judged{set: &records.Set{Cases: map[string][]*records.CaseStep{"c-1": {
			{File: opened, Case: "c-1", Subject: "scan-1"}, {File: later, Case: "c-1", Subject: "scan-1", Amends: opened},
		}}}},
		log: &history.Log{Files: []*history.File{{Path: opened}, {Path: later}}},
	}
	files, err := p.chosen([]string{"scan-1"})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][]string{}
	for _, f := range files {
		got[f.Path] = f.amended
	}
	if diff := cmp.Diff(map[string][]string{opened: {later}, later: nil}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}
