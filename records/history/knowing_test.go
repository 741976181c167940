package history_test

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/records/history"
)

// A shallow clone knows its oldest commits only as if everything had been added in them, and says so.
func TestShallow(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1"})
	p.commit("two", []string{"one"}, tree{"checks/a.toml": "2"})
	p.commit("three", []string{"two"}, tree{"checks/b.toml": "1"})
	p.open()
	dir := filepath.Join(t.TempDir(), "shallow")
	p.git("clone", "--quiet", "--depth=1", "--branch=three", "file://"+p.dir, dir)
	tip, known := p.hashes["three"], p.hashes["one"]
	p.dir = dir
	r := p.reopen()
	l := p.log(r, "HEAD")
	if !r.Shallow || !l.Incomplete {
		t.Error("not told that the past is incomplete")
	}
	if diff := cmp.Diff([]string{"three added"}, told(l, "checks/a.toml")); diff != "" {
		t.Error(diff)
	}
	if !l.Commits[0].CutOff {
		t.Error("not told that the commit has parents elsewhere")
	}
	for id, want := range map[string]history.Standing{tip: history.Part, known: history.Unclear} {
		if got, err := r.Stands(t.Context(), id, l.Tip); err != nil || got != want {
			t.Errorf("%s: %s, %v; want %s", id, got, err, want)
		}
	}
	_, err := r.Commit(t.Context(), known)
	var unknown *history.UnknownRevision
	if !errors.As(err, &unknown) || !unknown.Shallow {
		t.Errorf("an older commit: %v", err)
	}
}

// A clone cut between two lines of work begins at several commits, and a first commit that it holds is no such beginning.
func TestShallowMerge(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1"})
	p.commit("two", []string{"one"}, tree{"checks/a.toml": "2"})
	p.commit("left", []string{"two"}, tree{"checks/b.toml": "1"})
	p.commit("other", nil, tree{"checks/c.toml": "1"})
	p.commit("merge", []string{"left", "other"}, tree{"checks/c.toml": "1", "checks/a.toml": "3"})
	p.open()
	dir := filepath.Join(t.TempDir(), "shallow")
	p.git("clone", "--quiet", "--depth=2", "--branch=merge", "file://"+p.dir, dir)
	p.dir = dir
	l := p.log(p.reopen(), "HEAD")
	got := map[string]bool{}
	for i := range l.Commits {
		got[l.Commits[i].Author] = l.Commits[i].CutOff
	}
	if diff := cmp.Diff(map[string]bool{"merge": false, "left": true, "other": false}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if diff := cmp.Diff([]string{"left added", "merge changed, itself"}, told(l, "checks/a.toml")); diff != "" {
		t.Error(diff)
	}
}

// A clock that went wrong does not take a commit out of what was done since a day.
func TestAfter(t *testing.T) {
	p := newPast(t)
	p.commitAt("before", nil, tree{"checks/a.toml": "1"}, 1_780_000_000)
	p.commitAt("aside", []string{"before"}, tree{"checks/b.toml": "1"}, 1_780_000_100)
	p.commitAt("after", []string{"before"}, tree{"checks/a.toml": "2"}, 1_781_000_000)
	p.commitAt("early", []string{"after"}, tree{"checks/a.toml": "3"}, 0)
	p.commitAt("merge", []string{"aside", "early"}, tree{"checks/a.toml": "3"}, 100)
	l := p.log(p.open(), "merge")
	got := map[string]bool{}
	for i := range l.After(time.Unix(1_780_500_000, 0)) {
		got[l.Commits[i].Author] = true
	}
	if diff := cmp.Diff(map[string]bool{"after": true, "early": true, "merge": true}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// A branch that is damaged, or whose commit is lost, is not one on which nothing was committed.
func TestDamagedBranch(t *testing.T) {
	for name, damage := range map[string]func(p *past){
		"an empty branch": func(p *past) { p.write(".git/refs/heads/one", "") },
		"a lost commit":   func(p *past) { p.write(".git/refs/heads/one", strings.Repeat("7", 40)+"\n") },
	} {
		p := newPast(t)
		p.commit("one", nil, tree{"checks/a.toml": "1"})
		r := p.open()
		p.git("symbolic-ref", "HEAD", "refs/heads/one")
		damage(p)
		if _, err := r.Commit(t.Context(), "HEAD"); err == nil || errors.Is(err, history.ErrNoCommits) || !strings.Contains(err.Error(), "HEAD") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A past that was rewritten does not hold the commit that was known before: it lies beside, and once git has tidied up it is
// gone.
func TestRewrittenPast(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1"})
	p.commit("known", []string{"one"}, tree{"checks/a.toml": "2"})
	p.commit("after", []string{"known"}, tree{"checks/b.toml": "2"})
	p.commit("forced", []string{"one"}, tree{"checks/a.toml": "3"})
	r := p.open()
	stands := func(tip string, want history.Standing) {
		t.Helper()
		c, err := r.Commit(t.Context(), tip)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := r.Stands(t.Context(), p.hashes["known"], c); err != nil || got != want {
			t.Errorf("from %s: %s, %v; want %s", tip, got, err, want)
		}
	}
	stands("known", history.Part)
	stands("after", history.Part)
	stands("forced", history.Beside)
	p.git("branch", "--quiet", "-D", "known", "after")
	p.git("reflog", "expire", "--expire=now", "--all")
	p.git("repack", "-adq")
	p.git("prune", "--expire=now")
	if err := os.RemoveAll(filepath.Join(p.dir, ".git", "marks")); err != nil {
		t.Fatal(err)
	}
	stands("forced", history.Gone)
}

// Replacement objects show a past that was not. They are counted and not followed.
func TestReplacedObjects(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1"})
	p.commit("two", []string{"one"}, tree{"checks/a.toml": "2"})
	p.commit("false", nil, tree{"checks/a.toml": "2"})
	p.open()
	p.git("replace", p.hashes["two"], p.hashes["false"])
	r := p.reopen()
	if r.Replaced != 1 {
		t.Errorf("%d replaced objects, want 1", r.Replaced)
	}
	if diff := cmp.Diff([]string{"one added", "two changed"}, told(p.log(r, "two"), "checks/a.toml")); diff != "" {
		t.Error(diff)
	}
}

// Times that cannot be right: a commit earlier than the one before it, and one earlier than when its record was entered.
func TestDoubtfulTimes(t *testing.T) {
	p := newPast(t)
	p.commitAt("one", nil, tree{"checks/a.toml": "1"}, 1_780_000_000)
	p.commitAt("early", []string{"one"}, tree{"checks/b.toml": "1"}, 1_779_000_000)
	p.commitAt("right", []string{"early"}, tree{"checks/c.toml": "1", "cases/case-1/1.toml": "1"}, 1_781_000_000)
	l := p.log(p.open(), "right")
	stated := time.Unix(1_781_000_600, 0)
	set := &records.Set{Checks: map[string][]*records.Check{"scan-1": {
		{File: "checks/a.toml", Entered: time.Unix(1_779_999_000, 0)},
		{File: "checks/c.toml", Entered: stated},
	}}, Cases: map[string][]*records.CaseStep{"case-1": {{File: "cases/case-1/1.toml", Entered: stated}}}}
	var got []string
	for _, d := range l.Doubts(set) {
		text := d.Commit.Author
		if d.Parent != nil {
			text += " before " + d.Parent.Author
		}
		got = append(got, text+d.File)
	}
	if diff := cmp.Diff([]string{"early before one", "rightcases/case-1/1.toml", "rightchecks/c.toml"}, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if diff := cmp.Diff([]string{"early added"}, told(l, "checks/b.toml")); diff != "" {
		t.Errorf("a wrong clock changes what is told of a file\n%s", diff)
	}
}

func TestRevisionsThatAreNone(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"a": "1"})
	r := p.open()
	for _, text := range []string{"nothing", "--all", "-1", "one..one", "one:a", "", "one\nHEAD", ":/nowhere", "^one", "one^2"} {
		_, err := r.Commit(t.Context(), text)
		var unknown *history.UnknownRevision
		if !errors.As(err, &unknown) || unknown.Text != text {
			t.Errorf("%q: %v", text, err)
		}
	}
	for text, want := range map[string]bool{
		"HEAD@{2026-06-30}": true, "one@{yesterday}": true, "@{1 week ago}": true, "one@{u}@{now}": true, "HEAD@{0}": false, "one@{upstream}": false, "@": false, "one@": false,
	} {
		_, err := r.Commit(t.Context(), text)
		var unknown *history.UnknownRevision
		if got := errors.As(err, &unknown) && unknown.Reflog; got != want {
			t.Errorf("%q: %v", text, err)
		}
	}
	empty := newPast(t)
	empty.dir = t.TempDir()
	empty.git("init", "--quiet")
	if _, err := empty.reopen().Commit(t.Context(), "HEAD"); !errors.Is(err, history.ErrNoCommits) {
		t.Errorf("nothing committed: %v", err)
	}
}

// The folder of records may have had another place in the repository before.
func TestFolderMoved(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"old/plumbrule.toml": "name = 1", "old/checks/a.toml": lines("1")})
	p.commit("moved", []string{"one"}, tree{"old/plumbrule.toml": "", "old/checks/a.toml": "", "lab/plumbrule.toml": "name = 1", "lab/checks/a.toml": lines("1")})
	r := p.open()
	r.Folder = "lab/"
	if diff := cmp.Diff([]string{"one added", "moved renamed from :/old/checks/a.toml"}, told(p.log(r, "moved"), "checks/a.toml")); diff != "" {
		t.Error(diff)
	}
	if got := p.records(r, "one").Folder(); got != "old/" {
		t.Errorf("the records were found in %q", got)
	}
}

func TestStaged(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": lines("1"), "checks/b.toml": lines("b"), "checks/c.toml": "c", "checks/d e.toml": "d"})
	p.commit("two", []string{"one"}, tree{"checks/c.toml": "cc"})
	r := p.open()
	staged := func(want ...string) {
		t.Helper()
		list, err := r.Staged(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, c := range list {
			got = append(got, strings.TrimSpace(string(c.Kind)+" "+c.Path+" "+c.From))
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("(-want +got)\n%s", diff)
		}
	}
	p.git("checkout", "--quiet", "one")
	staged()
	p.write("checks/new.toml", "n")
	p.git("add", ".")
	staged()
	p.write("checks/a.toml", lines("2"))
	p.git("mv", "checks/b.toml", "checks/bb.toml")
	p.git("rm", "--quiet", "checks/d e.toml")
	staged("renamed checks/bb.toml checks/b.toml", "removed checks/d e.toml")
	p.git("add", ".")
	staged("changed checks/a.toml", "renamed checks/bb.toml checks/b.toml", "removed checks/d e.toml")
	// What a merge takes over from the other side is not its own doing.
	p.git("reset", "--quiet", "--hard")
	p.write("checks/new.toml", "n")
	p.save("ours")
	p.git("-c", "user.name=mk", "-c", "user.email=mk@example.org", "merge", "--quiet", "--no-commit", "two")
	staged()
	p.write("checks/a.toml", lines("2"))
	p.git("add", ".")
	staged("changed checks/a.toml")
}

func TestDifference(t *testing.T) {
	p := newPast(t)
	p.commit("one", nil, tree{"checks/a.toml": "1\n2\n3\n4\n5\n6"})
	p.commit("two", []string{"one"}, tree{"checks/a.toml": "1\n2\n3\n4\nfive\n6"})
	p.commit("three", []string{"two"}, tree{"checks/a.toml": ""})
	r := p.open()
	f := p.log(r, "three").File("checks/a.toml")
	var got [][]string
	for _, c := range f.Changes {
		list, err := r.Difference(t.Context(), c.Old, c.New)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, list)
	}
	want := [][]string{
		{"+1", "+2", "+3", "+4", "+5", "+6"},
		{"@@ -3,4 +3,4 @@", " 3", " 4", "-5", "+five", " 6", `\ No newline at end of file`},
		{"-1", "-2", "-3", "-4", "-five", "-6"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if n := len(f.Rewritten()); n != 2 {
		t.Errorf("%d changes rewrote it, want 2", n)
	}
}

// Signatures by a key of this machine, by one it does not know, and none.
func TestSignatures(t *testing.T) {
	if _, err := exec.LookPath("ssh-keygen"); err != nil {
		t.Skip("no ssh-keygen")
	}
	p := newPast(t)
	p.dir = t.TempDir()
	p.git("init", "--quiet")
	key := filepath.Join(p.dir, ".git", "key")
	if out, err := exec.CommandContext(t.Context(), "ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", key).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	public, err := os.ReadFile(key + ".pub")
	if err != nil {
		t.Fatal(err)
	}
	allowed := filepath.Join(p.dir, ".git", "allowed")
	if err := os.WriteFile(allowed, append([]byte("mk@example.org "), public...), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{{"gpg.format", "ssh"}, {"user.signingKey", key}, {"user.name", "mk"}, {"user.email", "mk@example.org"}} {
		p.git("config", c[0], c[1])
	}
	p.git("commit", "--quiet", "--allow-empty", "-m", "plain")
	plain := strings.TrimSpace(p.git("rev-parse", "HEAD"))
	p.git("commit", "--quiet", "--allow-empty", "-S", "-m", "signed")
	signed := strings.TrimSpace(p.git("rev-parse", "HEAD"))
	r := p.reopen()
	state := func() [2]history.SignatureState {
		t.Helper()
		got, err := r.Signatures(context.Background(), []string{plain, signed})
		if err != nil {
			t.Fatal(err)
		}
		return [2]history.SignatureState{got[plain].State, got[signed].State}
	}
	if got := state(); got[0] != history.Unsigned || got[1] == history.Good || got[1] == history.Unsigned {
		t.Errorf("without keys: %q", got)
	}
	p.git("config", "gpg.ssh.allowedSignersFile", allowed)
	if got := state(); got != [2]history.SignatureState{history.Unsigned, history.Good} {
		t.Errorf("with the key: %q", got)
	}
}
