package repository

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestUncommittedWithoutGit(t *testing.T) {
	r := &Repository{Root: t.TempDir()}
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	t.Setenv("GIT_CEILING_DIRECTORIES", filepath.Dir(r.Root))
	if _, err := r.Uncommitted(t.Context(), "devices"); !errors.Is(err, ErrNoGit) {
		t.Errorf("got %v, want ErrNoGit", err)
	}
}

// The repository may lie in a folder of a larger work tree; names are then its own, and what lies beside it is nobody's
// business here. A GIT_DIR in the environment does not lead astray.
func TestUncommittedInsideALargerTree(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	top := t.TempDir()
	t.Setenv("HOME", top)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	r := &Repository{Root: filepath.Join(top, "lab", "records")}
	write := func(name, text string) {
		t.Helper()
		path := filepath.Join(top, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	git := func(args ...string) {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), "git", append([]string{"-C", top, "-c", "user.name=mk", "-c", "user.email=mk@example.org"}, args...)...)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("git %v: %v\n%s", args, err, out)
		}
	}
	git("init", "--quiet")
	write("lab/records/devices/kept.toml", "1")
	write("lab/records/devices/changed.toml", "1")
	write("lab/records/devices/gone.toml", "1")
	write("lab/records/.gitignore", "ignored.toml\n")
	write("other.txt", "1")
	git("add", ".")
	git("commit", "--quiet", "-m", "start")
	write("lab/records/devices/changed.toml", "2")
	write("lab/records/devices/ä new.toml", "1")
	write("lab/records/devices/ignored.toml", "1")
	write("lab/records/devices/staged.toml", "1")
	write("other.txt", "2")
	git("add", "lab/records/devices/staged.toml")
	if err := os.Remove(filepath.Join(top, "lab/records/devices/gone.toml")); err != nil {
		t.Fatal(err)
	}
	t.Setenv("GIT_DIR", filepath.Join(top, "nowhere"))

	got, err := r.Uncommitted(t.Context(), "devices", "checks")
	if err != nil {
		t.Fatal(err)
	}
	want := []Pending{
		{"devices/changed.toml", "changed"},
		{"devices/gone.toml", "deleted"},
		{"devices/ignored.toml", "ignored"},
		{"devices/staged.toml", "added"},
		{"devices/ä new.toml", "not added"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// Looking at somebody's records runs none of the programs that the repository's configuration names: neither filters, nor
// hooks, nor a file system monitor, nor those of a bare repository that lies among the records.
func TestUncommittedRunsNothing(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git")
	}
	top := t.TempDir()
	t.Setenv("HOME", top)
	t.Setenv("GIT_CONFIG_NOSYSTEM", "1")
	trap, sprung := filepath.Join(top, "trap.sh"), filepath.Join(top, "sprung")
	if err := os.WriteFile(trap, []byte("#!/bin/sh\ntouch "+sprung+"\ncat\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	git := func(dir string, args ...string) {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), "git", append([]string{"-C", dir, "-c", "user.name=mk", "-c", "user.email=mk@example.org"}, args...)...)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("git %v: %v\n%s", args, err, out)
		}
	}
	root := filepath.Join(top, "records")
	device := filepath.Join(root, "devices", "a.toml")
	if err := os.MkdirAll(filepath.Dir(device), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(device, []byte("a = 1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	git(root, "init", "--quiet")
	git(root, "add", ".")
	git(root, "commit", "--quiet", "-m", "start")
	if err := os.WriteFile(filepath.Join(root, ".gitattributes"), []byte("* filter=x diff=x\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for key, value := range map[string]string{
		"filter.x.clean": trap, "filter.x.smudge": trap, "filter.x.process": trap, "filter.x.required": "true", "core.fsmonitor": trap,
		"core.pager": trap, "diff.external": trap, "diff.x.textconv": trap, "core.hooksPath": top,
	} {
		git(root, "config", key, value)
	}
	if err := os.WriteFile(device, []byte("a = 2\n"), 0o644); err != nil { // the same size: git must look inside
		t.Fatal(err)
	}
	got, err := (&Repository{Root: root}).Uncommitted(t.Context(), "devices")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]Pending{{"devices/a.toml", "changed"}}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if _, err := os.Stat(sprung); err == nil {
		t.Error("a program of the repository's configuration was run")
	}

	// The records folder itself looks like a bare repository whose configuration names a filter.
	bare := filepath.Join(top, "bare")
	git(top, "init", "--quiet", "--bare", bare)
	git(bare, "config", "core.bare", "false")
	git(bare, "config", "core.worktree", ".")
	git(bare, "config", "filter.x.clean", trap)
	if _, err := (&Repository{Root: bare}).Uncommitted(t.Context(), "devices"); err == nil {
		t.Error("a bare repository among the records was used")
	}
}
