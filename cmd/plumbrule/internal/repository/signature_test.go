package repository

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"plumbrule/records/history"
)

// A program that finds a forged signature malformed ends before it has read a long commit, and git with it. What is known of
// the other commits is told all the same.
func TestForgedSignatureHidesNoOther(t *testing.T) {
	if _, err := exec.LookPath("ssh-keygen"); err != nil {
		t.Skip("no ssh-keygen")
	}
	dir, _ := underGit(t)
	gitIn(t, dir, "config", "--unset", "log.showSignature")
	forged := strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD"))
	plain := strings.TrimSpace(gitIn(t, dir, "rev-parse", "HEAD^"))
	commit := gitIn(t, dir, "cat-file", "commit", "HEAD")
	file := filepath.Join(t.TempDir(), "long")
	if err := os.WriteFile(file, []byte(commit+strings.Repeat(strings.Repeat("x", 99)+"\n", 10_000)), 0o644); err != nil {
		t.Fatal(err)
	}
	long := strings.TrimSpace(gitIn(t, dir, "hash-object", "-t", "commit", "-w", file))
	git, err := Git(dir)
	if err != nil {
		t.Fatal(err)
	}
	r, err := history.Open(t.Context(), git)
	if err != nil {
		t.Fatal(err)
	}
	got, err := r.Signatures(t.Context(), []string{plain, long, forged})
	if err != nil {
		t.Fatal(err)
	}
	states := fmt.Sprint(got[plain].State, "; ", got[long].State, "; ", got[forged].State)
	if want := fmt.Sprint(history.Unsigned, "; ", history.Unread, "; ", history.Bad); states != want {
		t.Errorf("%s\nwant %s", states, want)
	}
}
