package history_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"plumbrule/records/history"
)

// runner runs git in a folder, with nothing from the machine's settings.
type runner struct{ dir string }

type process struct {
	*exec.Cmd
	io.Reader
	in   io.WriteCloser
	said bytes.Buffer
	stop context.CancelFunc
}

func (r runner) command(ctx context.Context, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, "git", append([]string{"-C", r.dir, "--no-replace-objects", "--literal-pathspecs"}, args...)...)
	c.Env = append(os.Environ(), "HOME="+r.dir, "GIT_CONFIG_NOSYSTEM=1", "LC_ALL=C", "GIT_CEILING_DIRECTORIES="+os.TempDir())
	return c
}

func (r runner) Start(ctx context.Context, args ...string) (history.Process, error) {
	ctx, stop := context.WithCancel(ctx)
	p := &process{Cmd: r.command(ctx, args...), stop: stop}
	p.Stderr = &p.said
	p.in, _ = p.StdinPipe()
	p.Reader, _ = p.StdoutPipe()
	return p, p.Start()
}

func (p *process) Write(b []byte) (int, error) { return p.in.Write(b) }
func (p *process) CloseWrite() error           { return p.in.Close() }

func (p *process) Close() error {
	if n, _ := p.Read(make([]byte, 1)); n > 0 {
		p.stop()
		_ = p.Wait()
		return nil
	}
	defer p.stop()
	err := p.Wait()
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		return &history.Refusal{Verb: p.Args[5], Status: exit.ExitCode(), Said: strings.TrimSpace(p.said.String())}
	}
	return err
}

// past is a repository that a test describes commit by commit.
type past struct {
	testing.TB
	runner
	script  strings.Builder
	marks   map[string]int
	hashes  map[string]string
	parents map[string][]string
	trees   map[string]map[string]string
	clock   int64
	prepare []string // further arguments of git init
}

func newPast(tb testing.TB) *past {
	tb.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		tb.Skip("no git")
	}
	return &past{TB: tb, marks: map[string]int{}, hashes: map[string]string{}, parents: map[string][]string{}, trees: map[string]map[string]string{}, clock: 1_780_000_000}
}

// often has random pasts drawn so many times, unless the command line says otherwise: each takes some dozens of processes.
func often(tb testing.TB, times string) {
	tb.Helper()
	if f := flag.Lookup("rapid.checks"); f.Value.String() == f.DefValue {
		if err := f.Value.Set(times); err != nil {
			tb.Fatal(err)
		}
		tb.Cleanup(func() { _ = f.Value.Set(f.DefValue) })
	}
}

// tree is the content of files by path.
type tree = map[string]string

// commit describes a commit by what differs from its first parent; an empty
// content removes a file.
func (p *past) commit(name string, parents []string, changes tree) {
	p.Helper()
	p.clock += 60
	p.commitAt(name, parents, changes, p.clock)
}

func (p *past) commitAt(name string, parents []string, changes tree, clock int64) {
	files := tree{}
	if len(parents) > 0 {
		maps.Copy(files, p.trees[parents[0]])
	}
	for path, text := range changes {
		files[path] = text
		if text == "" {
			delete(files, path)
		}
	}
	p.trees[name], p.parents[name] = files, parents
	p.marks[name] = len(p.marks) + 1
	fmt.Fprintf(&p.script, "reset refs/heads/%s\ncommit refs/heads/%s\nmark :%d\n", name, name, p.marks[name])
	fmt.Fprintf(&p.script, "author %s <%s@example.org> %d +0200\ncommitter office <office@example.org> %d +0100\n", name, name, clock, clock+5)
	fmt.Fprintf(&p.script, "data %d\n%s", len(name), name)
	for i, parent := range parents {
		fmt.Fprintf(&p.script, "\n%s :%d", []string{"from", "merge"}[min(i, 1)], p.marks[parent])
	}
	p.script.WriteString("\ndeleteall\n")
	for _, path := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(&p.script, "M 100644 inline \"%s\"\ndata %d\n%s\n", strings.NewReplacer(`"`, `\"`, "\n", `\n`, `\`, `\\`).Replace(path), len(files[path]), files[path])
	}
}

// open writes the repository, with the last commit checked out nowhere.
func (p *past) open() *history.Repository {
	p.Helper()
	p.dir = p.TempDir()
	p.git(append([]string{"init", "--quiet"}, p.prepare...)...)
	c := p.command(context.Background(), "fast-import", "--quiet", "--export-marks=.git/marks")
	c.Stdin = strings.NewReader(p.script.String())
	if out, err := c.CombinedOutput(); err != nil {
		p.Fatalf("fast-import: %v\n%s", err, out)
	}
	text, err := os.ReadFile(filepath.Join(p.dir, ".git", "marks"))
	if err != nil {
		p.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		mark, hash, _ := strings.Cut(strings.TrimSpace(line), " ")
		for name, n := range p.marks {
			if mark == fmt.Sprintf(":%d", n) {
				p.hashes[name] = hash
			}
		}
	}
	return p.reopen()
}

func (p *past) reopen() *history.Repository {
	p.Helper()
	r, err := history.Open(context.Background(), p.runner)
	if err != nil {
		p.Fatal(err)
	}
	return r
}

func (p *past) git(args ...string) string {
	p.Helper()
	out, err := p.command(context.Background(), args...).CombinedOutput()
	if err != nil {
		p.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// log reads the past up to a commit.
func (p *past) log(r *history.Repository, revision string) *history.Log {
	p.Helper()
	tip, err := r.Commit(context.Background(), revision)
	if err != nil {
		p.Fatal(err)
	}
	l, err := r.Log(context.Background(), tip)
	if err != nil {
		p.Fatal(err)
	}
	return l
}

// told writes the changes of a file as "by what how".
func told(l *history.Log, path string) []string {
	f := l.File(path)
	if f == nil {
		return []string{"not known"}
	}
	var out []string
	for i := range f.Changes {
		c := &f.Changes[i]
		text := l.Commit(c).Author + " " + string(c.Kind)
		if c.Kind == history.Renamed {
			text += " from " + c.From
		}
		if c.Manner != history.Plain {
			text += ", " + string(c.Manner)
		}
		out = append(out, text)
	}
	if f.Object == "" {
		out = append(out, "gone")
	}
	return out
}

func at(seconds int64, zone int) time.Time {
	return time.Unix(seconds, 0).In(time.FixedZone("", zone))
}
