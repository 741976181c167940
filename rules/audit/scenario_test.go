package audit_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules/audit"
)

var update = flag.Bool("update", false, "write what comes out into the scenarios; read the difference against their comments")

// notByRecords are the codes that files or the history raise; other tests do.
func notByRecords() map[string]bool {
	return map[string]bool{"evidence-rewritten": true, "commit-time-doubtful": true, "past-incomplete": true, "file-lost": true, "file-altered": true}
}

// A scenario says in its comment what an auditor finds and why, and what not;
// what comes out stands below "want".
func TestScenarios(t *testing.T) {
	names, err := filepath.Glob("testdata/scenarios/*.txtar")
	if err != nil || len(names) == 0 {
		t.Fatal("no scenarios", err)
	}
	raised, ran := notByRecords(), 0
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(string(archive.Comment), "# ") {
				t.Error("the scenario does not start with a comment that says what must come out and why")
			}
			ran++
			want := ""
			if n := len(archive.Files) - 1; n >= 0 && archive.Files[n].Name == "want" {
				want = string(archive.Files[n].Data)
				archive.Files = archive.Files[:n]
			}
			found := audit.Findings(opened(t, archive).input(t))
			for _, f := range found {
				raised[f.Code] = true
			}
			got := text(found)
			if *update {
				archive.Files = append(archive.Files, txtar.File{Name: "want", Data: []byte(got)})
				if err := os.WriteFile(name, txtar.Format(archive), 0o600); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
	if ran < len(names) {
		return // only some were asked for
	}
	for _, c := range audit.Codes() {
		if !raised[c.ID] {
			t.Errorf("no scenario raises %s", c.ID)
		}
	}
}

func TestNothingIsFoundInGoodOrder(t *testing.T) {
	if diff := cmp.Diff("", text(audit.Findings(opened(t).input(t)))); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// input loads the shop's records. Diagnostics are not looked at: what cannot be
// read is among the findings.
func (s *shop) input(tb testing.TB) audit.Input {
	tb.Helper()
	set, _ := records.Load(s.files, records.Options{})
	return audit.Input{Set: set, From: s.from, At: s.at, Devices: s.devices}
}

// text writes findings in short.
func text(list []audit.Finding) string {
	var b strings.Builder
	for _, f := range list {
		var sources []string
		for _, s := range f.Sources {
			sources = append(sources, s.File)
		}
		fmt.Fprintf(&b, "%s %s: %s [%s]\n", f.Code, f.Subject, f.Sentence, strings.Join(sources, ", "))
	}
	return b.String()
}
