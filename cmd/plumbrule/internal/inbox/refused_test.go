//go:build unix

package inbox

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"plumbrule/records/calendar"
)

// What is no ordinary file is neither followed nor opened.
func TestIrregular(t *testing.T) {
	w := newWorks(t)
	secret := filepath.Join(w.root, "secret.ply")
	in := func(name string) string { return filepath.Join(w.root, Folder, name) }
	if err := errors.Join(os.WriteFile(secret, []byte("secret"), 0o600), os.Symlink(secret, in("link.ply")), os.Symlink(secret, in("pipe.ply.toml")),
		syscall.Mkfifo(in("pipe.ply"), 0o644), os.Mkdir(in("folder"), 0o755), os.WriteFile(in("folder/inside.ply"), []byte("x"), 0o644)); err != nil {
		t.Fatal(err)
	}
	w.drop("link.ply.toml", said)
	r := w.after(10 * time.Minute)
	if len(r.Taken)+len(r.Trouble) > 0 || len(w.seen) > 0 {
		t.Errorf("%+v", r)
	}
	w.after(10 * time.Minute)
	w.want(Folder, "refused/link.ply", "refused/link.ply.reason.txt", "refused/link.ply.toml", "refused/link.ply.toml.reason.txt", "refused/pipe.ply", "refused/pipe.ply.reason.txt",
		"refused/pipe.ply.toml", "refused/pipe.ply.toml.reason.txt", "refused/folder/inside.ply", "refused/folder.reason.txt")
	if info, err := os.Lstat(in("refused/link.ply")); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link was not moved as one: %v, %v", info, err)
	}
	if got := w.read("inbox/refused/pipe.ply.reason.txt"); !strings.Contains(got, "no ordinary file but a pipe") {
		t.Error(got)
	}
}

// A reason never takes the place of a file that somebody has dropped.
func TestReasonTakesNoPlace(t *testing.T) {
	w := newWorks(t)
	w.drop("a.ply.reason.txt", "my own text")
	w.after(10 * time.Minute)
	w.drop("a.ply", "a")
	w.drop("a.ply.toml", "x = 1\n")
	w.after(5 * time.Second)
	if got := w.read("inbox/refused/a.ply.reason.txt"); got != "my own text" {
		t.Errorf("the dropped file is now %q", got)
	}
	w.want(Folder, "refused/a.ply.reason.txt", "refused/a.ply.reason.txt.reason.txt", "refused/a-2.ply", "refused/a-2.ply.toml", "refused/a-2.ply.reason.txt")
}

// Nothing that was refused before is overwritten; a sidecar stays with its file.
func TestRefusedNamesAreTheirOwn(t *testing.T) {
	w := newWorks(t)
	for range 3 {
		w.drop("a.ply", "a")
		w.drop("a.ply.toml", "x = 1\n")
		w.after(5 * time.Second)
	}
	w.want(Folder, "refused/a.ply", "refused/a.ply.toml", "refused/a.ply.reason.txt", "refused/a-2.ply", "refused/a-2.ply.toml", "refused/a-2.ply.reason.txt",
		"refused/a-3.ply", "refused/a-3.ply.toml", "refused/a-3.ply.reason.txt")
	if got := w.read("inbox/refused/a-2.ply.reason.txt"); !strings.Contains(got, "a-2.ply was called a.ply.") || !strings.Contains(got, "inbox/a.ply.toml:1:1: error:") {
		t.Error(got)
	}
}

// Opening follows no links and waits for no pipes.
func TestOpenOrdinaryFilesOnly(t *testing.T) {
	dir := t.TempDir()
	if err := errors.Join(syscall.Mkfifo(filepath.Join(dir, "pipe"), 0o600), os.Symlink("/etc/passwd", filepath.Join(dir, "link"))); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"pipe", "link", "."} {
		if _, err := (system{}).open(filepath.Join(dir, name)); !errors.Is(err, errIrregular) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What was refused by Take is put aside, what it cannot now is left.
func TestRefusalAndTrouble(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	w.take = func(context.Context, Drop) (Made, error) { return Made{}, syscall.ENOSPC }
	if r := w.after(5 * time.Second); len(r.Trouble) != 2 || !strings.Contains(r.Trouble[0].Why, "no space") || r.Next.Sub(w.clock.at) != retryAfter {
		t.Errorf("%+v", r)
	}
	n := len(w.seen)
	if r := w.after(29 * time.Second); len(r.Trouble) != 2 || len(w.seen) != n {
		t.Errorf("it was tried too early: %+v", r)
	}
	w.take = func(context.Context, Drop) (Made, error) {
		return Made{}, &Refusal{What: "there is no sphere", Where: "bar.ply", Mend: "scan it again"}
	}
	r := w.after(time.Second)
	if len(r.Refused) != 2 || r.Refused[0].Reason != "There is no sphere. See bar.ply. What would mend it: scan it again." {
		t.Errorf("%+v", r)
	}
}

// The hour that comes twice when summer time ends is told apart by its offset; 2026-10-25 01:00 UTC in Berlin, by the tz database.
func TestReasonTellsTheTimeOfTheSite(t *testing.T) {
	berlin, err := calendar.Zone("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		zone *time.Location
		at   time.Time
		want string
	}{
		{berlin, time.Date(2026, 10, 25, 0, 29, 55, 0, time.UTC), "Refused 2026-10-25 02:30 +02:00, Europe/Berlin.\n"},
		{berlin, time.Date(2026, 10, 25, 1, 29, 55, 0, time.UTC), "Refused 2026-10-25 02:30 +01:00, Europe/Berlin.\n"},
		{nil, time.Date(2026, 10, 25, 1, 29, 55, 0, time.UTC), "Refused 2026-10-25 01:30 +00:00, UTC.\n"},
	} {
		w := newWorks(t)
		w.clock.at = c.at
		w.box.Set(func(s *Settings) { s.Zone = c.zone })
		w.drop("a.ply", "a")
		w.drop("a.ply.toml", "x = 1\n")
		w.after(5 * time.Second)
		if got := w.read("inbox/refused/a.ply.reason.txt"); !strings.HasSuffix(got, c.want) {
			t.Errorf("%s: %q", c.want, got)
		}
	}
}
