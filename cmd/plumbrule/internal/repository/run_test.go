package repository

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"plumbrule/records/history"
)

// underGit makes a repository with one committed record, whose own settings name programs at every point where git would run
// one.
func underGit(t *testing.T) (dir, sprung string) {
	t.Helper()
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	top := t.TempDir()
	t.Setenv("HOME", top)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	dir, sprung = filepath.Join(top, "records"), filepath.Join(top, "sprung")
	trap := filepath.Join(top, "trap.sh")
	if err := os.WriteFile(trap, []byte("#!/bin/sh\ntouch "+sprung+"\ncat\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(dir, "checks"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"plumbrule.toml": "1\n", "checks/a.toml": "1\n", ".gitattributes": "* filter=x diff=x\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	gitIn(t, dir, "init", "--quiet")
	gitIn(t, dir, "add", ".")
	gitIn(t, dir, "commit", "--quiet", "-m", "one")
	if err := os.WriteFile(filepath.Join(dir, "checks", "a.toml"), []byte("2\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	gitIn(t, dir, "commit", "--quiet", "-a", "-m", "two")
	forged := exec.CommandContext(t.Context(), "sh", "-c", `git cat-file commit HEAD | sed 's/^committer .*/&\ngpgsig -----BEGIN SSH SIGNATURE-----\n aaaa\n -----END SSH SIGNATURE-----/' |
		git hash-object -t commit -w --stdin | xargs git update-ref HEAD`)
	forged.Dir = dir
	if out, err := forged.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for key, value := range map[string]string{
		"gpg.ssh.allowedSignersFile": trap, "filter.x.clean": trap, "filter.x.smudge": trap, "filter.x.process": trap, "core.fsmonitor": trap, "core.pager": trap,
		"diff.external": trap, "diff.x.textconv": trap, "diff.x.command": trap, "core.hooksPath": top, "gpg.program": trap, "gpg.ssh.program": trap,
		"gpg.format": "ssh", "log.showSignature": "true", "diff.orderFile": "checks/a.toml", "diff.renames": "copies", "log.date": "relative", "color.ui": "always",
		"diff.noprefix": "true", "log.follow": "true", "log.diffMerges": "off", "core.abbrev": "5", "diff.relative": "true", "log.showRoot": "false",
	} {
		gitIn(t, dir, "config", key, value)
	}
	return dir, sprung
}

func gitIn(t *testing.T, dir string, args ...string) string {
	t.Helper()
	c := exec.CommandContext(t.Context(), "git", append([]string{"-C", dir, "-c", "user.name=mk", "-c", "user.email=mk@example.org"}, args...)...)
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("git %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// Looking at the past runs no program that the repository's settings name, and what they and the environment say about how git
// prints makes no difference.
func TestPastRunsNothing(t *testing.T) {
	dir, sprung := underGit(t)
	for name, value := range map[string]string{"GIT_DIR": "/nowhere", "GIT_EXTERNAL_DIFF": "false", "GIT_PAGER": "false", "GIT_OBJECT_DIRECTORY": "/nowhere", "GIT_DIFF_OPTS": "-u9"} {
		t.Setenv(name, value)
	}
	ctx := t.Context()
	git, err := Git(filepath.Join(dir, "checks", ".."))
	if err != nil {
		t.Fatal(err)
	}
	r, err := history.Open(ctx, git)
	if err != nil {
		t.Fatal(err)
	}
	tip, err := r.Commit(ctx, "HEAD")
	if err != nil {
		t.Fatal(err)
	}
	l, err := r.Log(ctx, tip)
	if err != nil {
		t.Fatal(err)
	}
	f := l.File("checks/a.toml")
	if f == nil || len(f.Changes) != 2 || f.Changes[0].Kind != history.Added || f.Changes[1].Kind != history.Changed {
		t.Fatalf("%+v", f)
	}
	lines, err := r.Difference(ctx, f.Changes[1].Old, f.Changes[1].New)
	if err != nil || strings.Join(lines, "|") != "@@ -1 +1 @@|-1|+2" {
		t.Errorf("%q, %v", lines, err)
	}
	if s, err := r.Signatures(ctx, []string{tip.ID}); err != nil || s[tip.ID].State == history.Good || s[tip.ID].State == history.Unsigned {
		t.Errorf("a forged signature: %+v, %v", s, err)
	}
	if _, err := r.Staged(ctx); err != nil {
		t.Error(err)
	}
	fsys, err := r.Records(ctx, tip)
	if err != nil {
		t.Fatal(err)
	}
	file, err := fsys.Open("checks/a.toml")
	if err != nil {
		t.Fatal(err)
	}
	if text, err := io.ReadAll(file); err != nil || string(text) != "2\n" {
		t.Errorf("%q, %v", text, err)
	}
	if err := fsys.Close(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(sprung); err == nil {
		t.Error("a program of the repository's settings was run")
	}
}

// Grafts show a past that was not, and are not followed.
func TestPastFollowsNoGrafts(t *testing.T) {
	dir, _ := underGit(t)
	head := strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD"))
	if err := os.WriteFile(filepath.Join(dir, ".git", "info", "grafts"), []byte(head+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	git, err := Git(dir)
	if err != nil {
		t.Fatal(err)
	}
	r, err := history.Open(t.Context(), git)
	if err != nil {
		t.Fatal(err)
	}
	tip, err := r.Commit(t.Context(), "HEAD")
	if err != nil {
		t.Fatal(err)
	}
	if l, err := r.Log(t.Context(), tip); err != nil || len(l.Commits) != 2 {
		t.Errorf("%d commits, %v; want 2", len(l.Commits), err)
	}
}

// A clone that leaves contents with its origin does not fetch them while it is looked at.
func TestPastFetchesNothing(t *testing.T) {
	dir, _ := underGit(t)
	gitIn(t, dir, "config", "uploadpack.allowFilter", "true")
	partial := filepath.Join(t.TempDir(), "partial")
	gitIn(t, dir, "clone", "--quiet", "--bare", "--filter=blob:none", "file://"+dir, partial)
	git, err := Git(partial)
	if err != nil {
		t.Fatal(err)
	}
	r, err := history.Open(t.Context(), git)
	if err != nil {
		t.Fatal(err)
	}
	tip, err := r.Commit(t.Context(), "HEAD")
	if err != nil {
		t.Fatal(err)
	}
	fsys, err := r.Records(t.Context(), tip)
	if err != nil {
		t.Fatal(err)
	}
	defer fsys.Close()
	_, err = fsys.Open("checks/a.toml")
	var lost *history.ObjectError
	if !errors.As(err, &lost) || lost.Path != "checks/a.toml" {
		t.Errorf("%v, want that the object is not there", err)
	}
}

// A folder of somebody else is refused by git, and its reason is passed on.
func TestPastOfSomebodyElse(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root can give a folder away")
	}
	dir, _ := underGit(t)
	for _, name := range []string{dir, filepath.Join(dir, ".git")} {
		if err := os.Chown(name, 12345, 12345); err != nil {
			t.Skip(err)
		}
	}
	git, err := Git(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := history.Open(t.Context(), git); err == nil || !strings.Contains(err.Error(), "dubious ownership") {
		t.Errorf("%v, want what git says of the owner", err)
	}
}

func TestPastWithoutGit(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("GIT_CEILING_DIRECTORIES", filepath.Dir(dir))
	git, err := Git(dir)
	if err == nil {
		_, err = history.Open(t.Context(), git)
	}
	if !errors.Is(err, ErrNoGit) {
		t.Errorf("no repository: %v", err)
	}
	t.Setenv("PATH", dir)
	if _, err := Git(dir); !errors.Is(err, ErrNoGit) {
		t.Errorf("no program: %v", err)
	}
}

// Ending a git before it has printed all, or from outside, leaves nothing hanging.
func TestProcessEnds(t *testing.T) {
	dir, _ := underGit(t)
	git, err := Git(dir)
	if err != nil {
		t.Fatal(err)
	}
	p, err := git.Start(t.Context(), "cat-file", "--batch")
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Close(); err != nil {
		t.Errorf("ended early: %v", err)
	}
	ctx, stop := context.WithCancel(t.Context())
	if p, err = git.Start(ctx, "cat-file", "--batch"); err != nil {
		t.Fatal(err)
	}
	stop()
	if _, err := io.ReadAll(p); err != nil {
		t.Log(err)
	}
	if err := p.Close(); err == nil {
		t.Error("ended from outside: no error")
	}
}
