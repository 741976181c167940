package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/show"
)

func verbs(tb testing.TB) []*cobra.Command {
	tb.Helper()
	all := newRoot(&env{Stdout: os.Stdout, Stderr: os.Stderr, Stdin: os.Stdin}).Commands()
	if len(all) < 5 {
		tb.Fatalf("%d verbs", len(all))
	}
	return all
}

func TestEveryVerbHasItsHelp(t *testing.T) {
	known := map[string]bool{}
	for _, verb := range verbs(t) {
		known[verb.Name()] = true
	}
	for _, verb := range verbs(t) {
		t.Run(verb.Name(), func(t *testing.T) {
			status, help, stderr := command(t, ".", verb.Name(), "--help")
			if status != 0 || stderr != "" {
				t.Fatalf("status %d, %s", status, stderr)
			}
			for _, part := range []string{
				"plumbrule " + verb.Name() + ": ", "\nSynopsis\n  plumbrule " + verb.Name(), "\nExamples\n  ", "  plumbrule " + verb.Name(),
				"\nFlags of every verb\n", "\nExit statuses\n  0  ", "\n  2  ",
			} {
				if !strings.Contains(help, part) {
					t.Errorf("no %q in\n%s", part, help)
				}
			}
			if strings.HasSuffix(verb.Short, ".") || verb.Short == "" || verb.GroupID == "" {
				t.Errorf("purpose %q, group %q", verb.Short, verb.GroupID)
			}
			for line := range strings.Lines(help) {
				if line = strings.TrimSuffix(line, "\n"); show.Width(line) > 80 || strings.HasSuffix(line, " ") {
					t.Errorf("line of %d columns: %q", show.Width(line), line)
				}
			}
			for also := range strings.FieldsSeq(verb.Annotations[seeAlsoAnnotation]) {
				if !known[also] || also == verb.Name() {
					t.Errorf("see also %q", also)
				}
			}
			if strict := verb.Flags().Lookup("strict"); verb.Name() != "selftest" && (strict != nil) != (verb.Annotations[exitAnnotation+"1"] != "") {
				t.Error("the flag --strict and exit status 1 go together")
			}
		})
	}
}

// Whoever types an example gets an answer, in the example records with the files of testdata/examples beside them. Status 1
// is one too: something needs attention, and the example is strict.
func TestEveryExampleRuns(t *testing.T) {
	for _, verb := range verbs(t) {
		for _, line := range examples(verb.Example) {
			t.Run(line, func(t *testing.T) {
				dir := t.TempDir()
				records := exampleRecords(t)
				if records != "" && verb.Name() != "init" { // which refuses to begin inside records
					if err := os.CopyFS(dir, os.DirFS(records)); err != nil {
						t.Fatal(err)
					}
				}
				if err := os.CopyFS(dir, os.DirFS("testdata/examples")); err != nil {
					t.Fatal(err)
				}
				if strings.Contains(line, "HEAD") || verb.Name() == "history" {
					underGit(t, dir)
				}
				if verb.Name() == "alerts" { // which lists what a watcher has noted
					at := filepath.Join(t.TempDir(), "state")
					if status, _, stderr := command(t, dir, "watch", "--once", "--state", at); status != 0 {
						t.Fatal(stderr)
					}
					line += " --state " + at
				}
				status, stdout, stderr := command(t, dir, shellWords(t, line)[1:]...)
				if records == "" && strings.Contains(stderr, "records") {
					t.Skip("there are no example records")
				}
				if status > statusAttention || stdout == "" || stderr != "" && !strings.HasPrefix(stderr, "plumbrule: note: ") && !strings.HasPrefix(stderr, "time=") { // notes, and the lines of a log
					t.Errorf("status %d\n%s%s", status, stdout, stderr)
				}
			})
		}
	}
}

// underGit commits all that lies in a folder, and that twice, so that there is a past.
func underGit(t *testing.T, dir string) {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	t.Setenv("HOME", t.TempDir())
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	for _, args := range [][]string{
		{"init", "--quiet"}, {"add", "."}, {"commit", "--quiet", "--message", "records"}, {"commit", "--quiet", "--allow-empty", "--message", "nothing"},
	} {
		c := exec.CommandContext(t.Context(), "git", append([]string{"-c", "user.name=mk", "-c", "user.email=mk@example.org"}, args...)...)
		c.Dir = dir
		if out, err := c.CombinedOutput(); err != nil {
			t.Fatalf("git %v: %v\n%s", args, err, out)
		}
	}
}

// exampleRecords returns the folder of the example records; empty if there are none.
func exampleRecords(tb testing.TB) string {
	tb.Helper()
	for _, pattern := range []string{"../../examples/plumbrule.toml", "../../examples/*/plumbrule.toml"} {
		found, err := filepath.Glob(pattern)
		if err != nil {
			tb.Fatal(err)
		}
		if len(found) > 0 {
			return filepath.Dir(found[0])
		}
	}
	return ""
}

// examples returns the command lines of a help's examples, continued lines joined.
func examples(text string) (lines []string) {
	for line := range strings.SplitSeq(strings.ReplaceAll(text, "\\\n", " "), "\n") {
		if line = strings.TrimSpace(line); strings.HasPrefix(line, "plumbrule ") {
			lines = append(lines, line)
		}
	}
	return lines
}

// shellWords splits a command line as a shell does, as far as the examples need it: blanks and double quotes. What goes to
// a file or another program ends before that.
func shellWords(tb testing.TB, line string) (words []string) {
	tb.Helper()
	line, _, _ = strings.Cut(line, " > ")
	line, _, _ = strings.Cut(line, " | ")
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

func TestColourIsForTerminals(t *testing.T) {
	set := func(values map[string]string) func(string) (string, bool) {
		return func(name string) (string, bool) { v, ok := values[name]; return v, ok }
	}
	for _, c := range []struct {
		terminal terminal
		env      map[string]string
		want     bool
	}{
		{terminal{Is: true, Width: 100}, nil, true},
		{terminal{}, nil, false},
		{terminal{Is: true}, map[string]string{"NO_COLOR": "1"}, false},
		{terminal{Is: true}, map[string]string{"NO_COLOR": ""}, true}, // empty counts as not set (no-color.org)
		{terminal{Is: true}, map[string]string{"TERM": "dumb"}, false},
	} {
		e := env{Terminal: c.terminal, LookupEnv: set(c.env)}
		if got := e.screen().Colour; got != c.want {
			t.Errorf("%+v: %v, want %v", c, got, c.want)
		}
	}
}
