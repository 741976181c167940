package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The walk-throughs are run as they are written: every "$ " line of a console block in order, in a copy of the tree, and
// what it prints must be what stands below it. A block without output is run and must not fail. UPDATE_WALKTHROUGH=1
// writes the outputs anew, for a person to look at.
func TestWalkthroughs(t *testing.T) {
	const morning = "2026-11-02T07:30:00+01:00"
	for _, c := range []struct{ file, now string }{
		{"README.md", morning},
		{"examples/propeller-works/README.md", morning},
		{"examples/propeller-works/STATISTICS.md", morning},
		{"examples/propeller-works/SCANS.md", morning},
		{"examples/propeller-works/ROUTE.md", morning},
		{"examples/propeller-works/JOBS.md", morning},
		{"examples/propeller-works/IMPACT.md", morning},
		{"examples/propeller-works/AUDIT.md", morning},
		{"examples/propeller-works/WATCH.md", "wall"}, // time must go on
	} {
		t.Run(strings.ReplaceAll(c.file, "/", "_"), func(t *testing.T) {
			root := filepath.Join("..", "..")
			page, err := os.ReadFile(filepath.Join(root, c.file))
			if err != nil {
				t.Fatal(err)
			}
			s := newShell(t, root, c.now)
			got := s.run(string(page))
			if os.Getenv("UPDATE_WALKTHROUGH") != "" {
				if err := os.WriteFile(filepath.Join(root, c.file), []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if diff := cmp.Diff(strings.Split(string(page), "\n"), strings.Split(got, "\n")); diff != "" {
				t.Errorf("what is printed differs from what is written (-written +printed):\n%s", diff)
			}
		})
	}
}

// shell runs the lines of a page one after another, each where the one before left off.
type shell struct {
	t      *testing.T
	source string // the source tree
	dir    string
	env    []string
}

// newShell makes a copy of the examples to walk in, under version control, and puts this test's program into PATH under
// the name plumbrule, as the script tests do.
func newShell(t *testing.T, root, now string) *shell {
	t.Helper()
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("no bash to run the lines")
	}
	dir, bin := t.TempDir(), t.TempDir()
	for _, example := range []string{"propeller-works", "service"} {
		if err := os.CopyFS(filepath.Join(dir, "examples", example), os.DirFS(filepath.Join(root, "examples", example))); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { endAll(dir) })
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(self, filepath.Join(bin, "plumbrule")); err != nil {
		t.Fatal(err)
	}
	source, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	s := &shell{t: t, source: source, dir: dir, env: append(os.Environ(),
		"PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"),
		"PLUMBRULE_TEST_NOW="+now,
		"HOME="+dir, "GIT_CONFIG_GLOBAL="+filepath.Join(dir, ".gitconfig"),
	)}
	for _, name := range []string{"GOMODCACHE", "GOCACHE"} { // which lie below HOME unless said otherwise
		if at, err := exec.CommandContext(t.Context(), "go", "env", name).Output(); err == nil {
			s.env = append(s.env, name+"="+strings.TrimSpace(string(at)))
		}
	}
	s.line("git config --global user.name jt && git config --global user.email jt@works.example && git config --global init.defaultBranch main")
	s.line("git init --quiet && git add . && git commit --quiet -m start")
	return s
}

// run returns the page with what its console blocks print now.
func (s *shell) run(page string) string {
	var out []string
	inside, stale := false, false
	for line := range strings.SplitSeq(page, "\n") {
		switch {
		case line == "```console":
			inside, stale = true, false
			out = append(out, line)
		case inside && line == "```":
			inside = false
			out = append(out, line)
		case inside && strings.HasPrefix(line, "$ "):
			out = append(out, line)
			printed := s.line(strings.TrimPrefix(line, "$ "))
			stale = true
			if printed != "" {
				out = append(out, strings.Split(strings.TrimSuffix(printed, "\n"), "\n")...)
			}
		case inside && stale: // what was printed when the page was written
		default:
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// line runs one line and returns what it prints on both streams. The program is built already, so "go run" is the program.
func (s *shell) line(text string) string {
	s.t.Helper()
	text = strings.ReplaceAll(text, "go run ./cmd/plumbrule", "plumbrule")
	text = strings.ReplaceAll(text, "go build -o mailbox", "go build -C "+s.source+" -o "+s.dir+"/mailbox")
	where := filepath.Join(s.dir, ".where")
	cmd := exec.CommandContext(s.t.Context(), "bash", "-c", text+"\nstatus=$?; pwd > "+where+"; exit $status")
	cmd.Dir, cmd.Env = s.dir, s.env
	if at, err := os.ReadFile(where); err == nil {
		cmd.Dir = strings.TrimSpace(string(at))
	}
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if err := cmd.Run(); err != nil {
		s.t.Errorf("%s: %v\n%s", text, err, out.String())
	}
	return out.String()
}

// endAll ends what a page that was not followed to its end has left running; it notes the processes in files.
func endAll(dir string) {
	files, _ := filepath.Glob(filepath.Join(dir, "*.pid"))
	for _, file := range files {
		text, _ := os.ReadFile(file)
		id, err := strconv.Atoi(strings.TrimSpace(string(text)))
		if err != nil || id <= 1 {
			continue
		}
		if p, err := os.FindProcess(id); err == nil {
			_ = p.Kill() // it has ended already where all went well
		}
	}
}
