package main

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"plumbrule/rules/audit"
)

// Every finding can be explained, and by nothing else of that name: explain asks
// for reasons and gaps in chains first.
func TestFindingsAreExplained(t *testing.T) {
	for _, c := range audit.Codes() {
		status, stdout, stderr := command(t, ".", "explain", c.ID, "--format", "json")
		var topic topicJSON
		if err := json.Unmarshal([]byte(stdout), &topic); status != 0 || err != nil {
			t.Fatalf("%s: status %d, %v, %s", c.ID, status, err, stderr)
		}
		if topic.Kind != "finding of an audit" || topic.Title != c.Title || topic.Mend != c.Mend {
			t.Errorf("%s is explained as %+v", c.ID, topic)
		}
	}
	if _, stdout, _ := command(t, ".", "explain", "findings", "--format", "csv"); strings.Count(stdout, "\n") != len(audit.Codes())+1 {
		t.Errorf("the list of findings is\n%s", stdout)
	}
}

// The same findings in every form, none wider than a page.
func TestGapsInEveryForm(t *testing.T) {
	asked := []string{"-C", "../../examples/propeller-works", "audit", "--gaps", "--from", "2026-10-01", "--at", "2026-11-02T07:00"}
	status, stdout, stderr := command(t, ".", append(asked, "--format", "json")...)
	var out gapsJSON
	if err := json.Unmarshal([]byte(stdout), &out); status != 0 || err != nil {
		t.Fatalf("status %d, %v, %s", status, err, stderr)
	}
	if len(out.Findings) == 0 || out.From != "2026-10-01T00:00:00+02:00" || out.At != "2026-11-02T07:00:00+01:00" {
		t.Errorf("found %+v", out)
	}
	_, stdout, _ = command(t, ".", append(asked, "--format", "csv")...)
	rows, err := csv.NewReader(strings.NewReader(stdout)).ReadAll()
	if err != nil || len(rows) != len(out.Findings)+1 {
		t.Fatalf("%d rows for %d findings, %v", len(rows), len(out.Findings), err)
	}
	_, plain, _ := command(t, ".", asked...)
	_, markdown, _ := command(t, ".", append(asked, "--format", "markdown")...)
	for i, f := range out.Findings {
		if rows[i+1][0] != f.Code || rows[i+1][2] != f.Sentence {
			t.Errorf("row %d is %v, expected %+v", i+1, rows[i+1], f)
		}
		if !strings.Contains(plain, "("+f.Code+")") || !strings.Contains(markdown, f.Code) {
			t.Errorf("%s does not stand in the table or the page", f.Code)
		}
	}
	for line := range strings.Lines(plain) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestGapsAskForAttention(t *testing.T) {
	asked := []string{"-C", "../../examples/propeller-works", "audit", "--gaps", "--at", "2026-11-02T07:00", "--strict"}
	if status, _, stderr := command(t, ".", asked...); status != 1 {
		t.Errorf("status %d, expected 1: %s", status, stderr)
	}
	if status, _, stderr := command(t, ".", append(asked, "--into", "x")...); status != 2 || !strings.Contains(stderr, "--gaps") {
		t.Errorf("status %d, expected 2: %s", status, stderr)
	}
	// one device, of whose findings none is about another
	status, stdout, stderr := command(t, ".", append(asked, "scan-02", "--format", "json")...)
	var out gapsJSON
	if err := json.Unmarshal([]byte(stdout), &out); status != 1 || err != nil {
		t.Fatalf("status %d, %v, %s", status, err, stderr)
	}
	for _, f := range out.Findings {
		if strings.HasPrefix(f.Subject, "arm-") || strings.HasPrefix(f.Subject, "scan-") && f.Subject != "scan-02" {
			t.Errorf("of scan-02 it says %+v", f)
		}
	}
}
