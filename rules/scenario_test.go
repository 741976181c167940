package rules_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"plumbrule/records"
	"plumbrule/rules"
)

// A scenario is a repository and what must follow from it: a comment that says
// what must come out and why, lines that change the base repository, files of
// its own, and the assessment. See scenario_lines_test.go for the lines.
type scenario struct {
	files     fstest.MapFS
	at        time.Time
	hindsight bool
	errors    []string // codes of the diagnostics expected while loading
	want      string
}

var update = flag.Bool("update", false, "write what comes out into the scenarios; read the difference against their comments")

func TestScenarios(t *testing.T) {
	names, err := filepath.Glob("testdata/scenarios/*.txtar")
	if err != nil || len(names) == 0 {
		t.Fatal("no scenarios", err)
	}
	raised, ran := map[string]bool{}, 0
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
			s := read(t, archive)
			a := s.evaluate(t)
			for _, d := range a.Devices {
				for _, r := range d.Reasons {
					raised[r.Code] = true
				}
			}
			got := text(a)
			if *update {
				write(t, name, archive, got)
				return
			}
			if diff := cmp.Diff(s.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
	if ran < len(names) {
		return // only some were asked for
	}
	for _, code := range rules.ReasonCodes() {
		if !raised[code.ID] {
			t.Errorf("no scenario raises %s", code.ID)
		}
		delete(raised, code.ID)
	}
	for code := range raised {
		t.Errorf("%s is raised and not in the catalogue", code)
	}
}

func (s *scenario) evaluate(tb testing.TB) *rules.Assessment {
	tb.Helper()
	set, diagnostics := records.Load(s.files, records.Options{})
	var codes []string
	for _, d := range diagnostics {
		if d.Severity == records.Error {
			codes = append(codes, d.Code)
		}
	}
	if diff := cmp.Diff(s.errors, codes); diff != "" {
		tb.Fatalf("errors while loading (-want +got)\n%s\n%v", diff, diagnostics)
	}
	for _, d := range rules.Check(set) {
		tb.Fatalf("settings: %v", d)
	}
	return rules.Evaluate(set, s.at, rules.Options{Hindsight: s.hindsight})
}

func write(t *testing.T, name string, archive *txtar.Archive, got string) {
	t.Helper()
	for i := range archive.Files {
		if archive.Files[i].Name == "want" {
			archive.Files = archive.Files[:i]
			break
		}
	}
	archive.Files = append(archive.Files, txtar.File{Name: "want", Data: []byte(got)})
	if err := os.WriteFile(name, txtar.Format(archive), 0o600); err != nil {
		t.Fatal(err)
	}
}

// text writes an assessment compactly: fitness, scopes, reasons, due dates.
func text(a *rules.Assessment) string {
	var b strings.Builder
	for _, d := range a.Devices {
		fmt.Fprintf(&b, "%s %s\n", d.ID, d.Fitness)
		for _, s := range d.May {
			fmt.Fprintf(&b, "  may %s\n", s)
		}
		for _, s := range d.MayNot {
			fmt.Fprintf(&b, "  may not %s\n", s)
		}
		for _, r := range d.Reasons {
			fmt.Fprintf(&b, "  %s %s: %s [%s]\n", r.Code, r.Effect, r.Sentence, sources(r.Sources))
		}
		if d.Record == nil {
			continue
		}
		for _, due := range append([]rules.Due{d.Calibration}, d.Checks...) {
			fmt.Fprintf(&b, "  due %s %s: %s", due.What, due.Date, due.State)
			if due.Extra {
				b.WriteString(" (extra)")
			}
			if due.Extension != nil {
				fmt.Fprintf(&b, ", put off from %s", due.Planned)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func sources(list []rules.Source) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = s.File
		if s.Line > 0 {
			out[i] += fmt.Sprintf(":%d", s.Line)
		}
	}
	return strings.Join(out, ", ")
}
