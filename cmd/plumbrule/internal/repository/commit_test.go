package repository

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// versioned is a records repository below the top of a git work tree.
type versioned struct {
	*testing.T
	*Repository
	top string
}

func newVersioned(t *testing.T) *versioned {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	top := t.TempDir()
	t.Setenv("HOME", top)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	v := &versioned{t, &Repository{Root: filepath.Join(top, "work", "lab")}, filepath.Join(top, "work")}
	if err := os.MkdirAll(v.Root, 0o755); err != nil {
		t.Fatal(err)
	}
	v.cmd("init", "--quiet", "--initial-branch=main")
	v.cmd("config", "user.name", "someone")
	v.cmd("config", "user.email", "someone@works.example")
	v.write("plumbrule.toml", "format = 1\n")
	v.cmd("add", ".")
	v.cmd("commit", "--quiet", "-m", "start")
	return v
}

func (v *versioned) cmd(args ...string) string {
	v.Helper()
	out, err := exec.CommandContext(v.Context(), "git", append([]string{"-C", v.top}, args...)...).CombinedOutput()
	if err != nil {
		v.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return strings.TrimSpace(string(out))
}

func (v *versioned) write(name, text string) {
	v.Helper()
	if err := os.MkdirAll(filepath.Dir(v.Path(name)), 0o755); err != nil {
		v.Fatal(err)
	}
	if err := os.WriteFile(v.Path(name), []byte(text), 0o644); err != nil {
		v.Fatal(err)
	}
}

const (
	check  = "checks/scan-1/2026/a.toml"
	scan   = "scans/scan-1/2026/a.ply"
	author = "mk <mk@works.example>"
)

func TestCommitCommitsTheFilesAlone(t *testing.T) {
	v := newVersioned(t)
	v.write(check, "a = 1\n")
	v.write(scan, "points")
	v.write("devices/draft.toml", "draft")
	v.write("plumbrule.toml", "format = 1 # not yet\n")
	t.Setenv("GIT_DIR", filepath.Join(v.top, "nowhere"))
	t.Setenv("GIT_AUTHOR_NAME", "somebody else")
	if err := v.Commit(t.Context(), []string{check, scan}, author, "Check of scan-1 taken in\n\n# not a comment"); err != nil {
		t.Fatal(err)
	}
	os.Unsetenv("GIT_DIR")
	if got, want := v.cmd("show", "--no-renames", "--name-only", "--format=%an <%ae>, %cn, %B", "HEAD"), "mk <mk@works.example>, plumbrule, Check of scan-1 taken in\n\n# not a comment\n\n\nlab/"+check+"\nlab/"+scan; got != want {
		t.Errorf("the commit is\n%s\nwant\n%s", got, want)
	}
	if got := v.cmd("status", "--porcelain", "--untracked-files=all"); got != "M lab/plumbrule.toml\n?? lab/devices/draft.toml" {
		t.Errorf("left is\n%s", got)
	}
	head := v.cmd("rev-parse", "HEAD")
	if err := v.Commit(t.Context(), []string{check, scan}, author, "again"); err != nil || v.cmd("rev-parse", "HEAD") != head {
		t.Errorf("a second time: %v", err)
	}
}

// The first commit of a repository, an address that is not known, and paths that
// would mean several files to git.
func TestCommitOddities(t *testing.T) {
	v := newVersioned(t)
	v.cmd("checkout", "--quiet", "--orphan", "new")
	v.cmd("rm", "-r", "--cached", "--quiet", ".")
	v.write("scans/*.ply", "points")
	v.write("scans/other.ply", "points")
	if err := v.Commit(t.Context(), []string{"scans/*.ply"}, "mk <>", "first"); err != nil {
		t.Fatal(err)
	}
	if got := v.cmd("show", "--name-only", "--format=%an <%ae>", "HEAD"); got != "mk <>\n\nlab/scans/*.ply" {
		t.Errorf("%s", got)
	}
	if err := v.Commit(t.Context(), []string{"scans/other.ply"}, author, "second"); err != nil {
		t.Fatal(err)
	}
	v.write("scans/*.ply", "more points")
	v.write("scans/other.ply", "more points")
	if err := v.Commit(t.Context(), []string{"scans/*.ply"}, author, "third"); err != nil {
		t.Fatal(err)
	}
	if got := v.cmd("show", "--name-only", "--format=", "HEAD") + "; " + v.cmd("diff", "--cached", "--name-only"); got != "lab/scans/*.ply; " {
		t.Errorf("committed and staged are %s", got)
	}
	for _, bad := range []string{"mk", "mk <a", "<>", "a\nb <c>", "x <y> <z>", ""} {
		if err := v.Commit(t.Context(), []string{"scans/other.ply"}, bad, "x"); err == nil {
			t.Errorf("the author %q was taken", bad)
		}
	}
}

// While somebody is at work in the repository nothing is touched.
func TestCommitKeepsOut(t *testing.T) {
	for what, c := range map[string]struct {
		begin func(*versioned)
		want  string
	}{
		"merge": {func(v *versioned) {
			v.diverge()
			_ = exec.CommandContext(v.Context(), "git", "-C", v.top, "merge", "--quiet", "other").Run()
		}, "a merge is not finished"},
		"merge to be committed": {func(v *versioned) {
			v.cmd("checkout", "--quiet", "-b", "other")
			v.cmd("commit", "--quiet", "--allow-empty", "-m", "other")
			v.cmd("checkout", "--quiet", "main")
			v.cmd("merge", "--quiet", "--no-ff", "--no-commit", "other")
		}, "a merge is not finished"},
		"rebase": {func(v *versioned) {
			v.diverge()
			_ = exec.CommandContext(v.Context(), "git", "-C", v.top, "rebase", "--quiet", "other").Run()
		}, "a rebase is not finished"},
		"cherry-pick": {func(v *versioned) {
			v.diverge()
			_ = exec.CommandContext(v.Context(), "git", "-C", v.top, "cherry-pick", "other").Run()
		}, "a cherry-pick is not finished"},
		"bisection": {func(v *versioned) { v.cmd("bisect", "start") }, "a bisection is not finished"},
		"lock":      {func(v *versioned) { v.lock() }, "the index is locked"},
		"staged": {func(v *versioned) {
			v.write("devices/new.toml", "x")
			v.cmd("add", "lab/devices/new.toml")
		}, "lab/devices/new.toml is staged"},
		"staged elsewhere": {func(v *versioned) {
			if err := os.WriteFile(filepath.Join(v.top, "other.txt"), nil, 0o644); err != nil {
				v.Fatal(err)
			}
			v.cmd("add", "other.txt")
		}, "other.txt is staged"},
		"no branch": {func(v *versioned) { v.cmd("checkout", "--quiet", "--detach") }, "no branch is checked out"},
	} {
		t.Run(what, func(t *testing.T) {
			v := newVersioned(t)
			c.begin(v)
			v.write(check, "a = 1\n")
			before := v.state()
			err := v.Commit(t.Context(), []string{check}, author, "x")
			if !errors.Is(err, ErrBusy) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %s", err, c.want)
			}
			if after := v.state(); after != before {
				t.Errorf("was\n%s\nis\n%s", before, after)
			}
		})
	}
}

// diverge makes a branch other whose change conflicts with that of main.
func (v *versioned) diverge() {
	v.Helper()
	v.cmd("checkout", "--quiet", "-b", "other")
	v.write("plumbrule.toml", "format = 2\n")
	v.cmd("commit", "--quiet", "-am", "other")
	v.cmd("checkout", "--quiet", "main")
	v.write("plumbrule.toml", "format = 3\n")
	v.cmd("commit", "--quiet", "-am", "mine")
}

func (v *versioned) lock() {
	v.Helper()
	if err := os.WriteFile(filepath.Join(v.top, ".git", "index.lock"), nil, 0o644); err != nil {
		v.Fatal(err)
	}
}

func (v *versioned) state() string {
	v.Helper()
	return v.cmd("rev-parse", "HEAD") + "\n" + v.cmd("--no-optional-locks", "status", "--porcelain", "--untracked-files=all")
}

// A hook that refuses is told of, and nothing stays staged; one that lives is run.
func TestCommitAndHooks(t *testing.T) {
	v := newVersioned(t)
	hook := filepath.Join(v.top, ".git", "hooks", "pre-commit")
	if err := os.MkdirAll(filepath.Dir(hook), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(hook, []byte("#!/bin/sh\necho no commits on a Monday >&2\nexit 1\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	v.write(check, "a = 1\n")
	before := v.state()
	err := v.Commit(t.Context(), []string{check}, author, "x")
	if err == nil || errors.Is(err, ErrBusy) || !strings.Contains(err.Error(), "no commits on a Monday") {
		t.Errorf("%v", err)
	}
	if after := v.state(); after != before {
		t.Errorf("was\n%s\nis\n%s", before, after)
	}
	if err := os.WriteFile(hook, []byte("#!/bin/sh\ntouch ran\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := v.Commit(t.Context(), []string{check}, author, "x"); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(v.top, "ran")); err != nil {
		t.Errorf("the hook did not run: %v", err)
	}
}

// Originals may be kept out of version control, records may not.
func TestCommitOfIgnored(t *testing.T) {
	v := newVersioned(t)
	v.write(".gitignore", "scans/\n")
	v.write(check, "a = 1\n")
	v.write(scan, "points")
	if err := v.Commit(t.Context(), []string{check, scan}, author, "x"); err != nil {
		t.Fatal(err)
	}
	if got := v.cmd("show", "--name-only", "--format=", "HEAD"); got != "lab/"+check {
		t.Errorf("committed is %s", got)
	}
	v.write(".gitignore", "checks/\n")
	v.write("checks/scan-1/2026/b.toml", "b = 1\n")
	if err := v.Commit(t.Context(), []string{"checks/scan-1/2026/b.toml"}, author, "x"); err == nil || !strings.Contains(err.Error(), "is ignored by git") {
		t.Errorf("%v", err)
	}
}

// Committing pushes nothing; pushing pushes the branch that is checked out.
func TestPush(t *testing.T) {
	v := newVersioned(t)
	remote := filepath.Join(t.TempDir(), "remote.git")
	v.cmd("init", "--quiet", "--bare", remote)
	v.cmd("remote", "add", "origin", remote)
	v.write(check, "a = 1\n")
	if err := v.Commit(t.Context(), []string{check}, author, "x"); err != nil {
		t.Fatal(err)
	}
	if err := v.Push(t.Context()); err == nil || !strings.Contains(err.Error(), "upstream") {
		t.Errorf("without a branch to follow: %v", err)
	}
	v.cmd("push", "--quiet", "--set-upstream", "origin", "main")
	v.cmd("branch", "mine")
	v.write(scan, "points")
	if err := v.Commit(t.Context(), []string{scan}, author, "y"); err != nil {
		t.Fatal(err)
	}
	if v.cmd("ls-remote", "origin", "main") == v.cmd("rev-parse", "HEAD")+"\trefs/heads/main" {
		t.Error("it was pushed by committing")
	}
	if err := v.Push(t.Context()); err != nil {
		t.Fatal(err)
	}
	if got, want := v.cmd("ls-remote", "--heads", "origin"), v.cmd("rev-parse", "HEAD")+"\trefs/heads/main"; got != want {
		t.Errorf("the other side has %s, want %s", got, want)
	}
	// Somebody else has pushed: nothing is forced.
	v.cmd("push", "--quiet", "origin", "HEAD~1:refs/heads/x")
	v.cmd("commit", "--quiet", "--amend", "-m", "z")
	if err := v.Push(t.Context()); err == nil {
		t.Error("it was pushed by force")
	}
}

// Outside version control it says so.
func TestCommitWithoutGit(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("GIT_CEILING_DIRECTORIES", filepath.Dir(dir))
	if err := (&Repository{Root: dir}).Commit(t.Context(), []string{"a"}, author, "x"); !errors.Is(err, ErrNoGit) {
		t.Errorf("%v", err)
	}
}
