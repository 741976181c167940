package inbox

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A file is taken in when it has stood still, not before.
func TestTakenWhenItStandsStill(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply.toml", said)
	w.drop("bar.ply", "poi")
	if r := w.after(4 * time.Second); len(r.Taken) > 0 || len(r.Waiting) != 2 || !r.Next.Equal(w.clock.at.Add(time.Second)) {
		t.Errorf("after 4 s: %+v", r)
	}
	w.drop("bar.ply", "points")
	if r := w.after(4 * time.Second); len(r.Taken) > 0 {
		t.Errorf("4 s after it has grown: %+v", r)
	}
	// Its size stays, its time changes.
	if err := os.Chtimes(filepath.Join(w.root, Folder, "bar.ply"), time.Time{}, time.Date(2026, 10, 5, 8, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	if r := w.after(4 * time.Second); len(r.Taken) > 0 {
		t.Errorf("4 s after it was written to: %+v", r)
	}
	// Another file of the same size and time takes its place.
	other := filepath.Join(w.root, Folder, "x.tmp")
	if err := errors.Join(os.WriteFile(other, []byte("stniop"), 0o644), os.Chtimes(other, time.Time{}, time.Date(2026, 10, 5, 8, 0, 0, 0, time.UTC)),
		os.Rename(other, filepath.Join(w.root, Folder, "bar.ply"))); err != nil {
		t.Fatal(err)
	}
	if r := w.after(4 * time.Second); len(r.Taken) > 0 {
		t.Errorf("4 s after another file took its place: %+v", r)
	}
	if r := w.after(time.Second); len(r.Taken) != 1 || r.Taken[0].Digest != digestOf([]byte("stniop")) || r.Taken[0].Device != "scan-01" || r.Taken[0].By != "mk" {
		t.Errorf("after 5 s: %+v", r)
	}
}

// With .done beside it a file is taken in at once, and its sidecar too.
func TestTakenWhenDone(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply.toml", said)
	w.drop("bar.ply", "points")
	w.drop("bar.ply.done", "")
	if r := w.look(); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
	w.want(Folder)
	w.drop("a.ply", "a")
	w.drop("b.ply", "b")
	w.drop("x.toml", said+`scans = ["a.ply", "b.ply"]`)
	w.drop("x.toml.done", "")
	if r := w.look(); len(r.Taken) != 2 || r.Taken[0].Record != r.Taken[1].Record {
		t.Errorf("%+v", r)
	}
	w.want(Folder)
}

// Clocks are put forward and back; without their leap nothing is taken in too
// early, and nothing waits for ever.
func TestClockPutBack(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply.toml", said)
	w.drop("bar.ply", "points")
	if r := w.after(-24 * time.Hour); len(r.Taken) > 0 || r.Next.Sub(w.clock.at) > 5*time.Second {
		t.Errorf("%+v", r)
	}
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
}

// What belongs to it may come later, within bounds.
func TestWaitsForItsSidecar(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply", "points")
	r := w.after(9 * time.Minute)
	if len(r.Waiting) != 1 || !strings.Contains(r.Waiting[0].Why, "bar.ply.toml") || r.Next.Sub(w.clock.at) != time.Minute {
		t.Errorf("after 9 min: %+v", r)
	}
	w.drop("bar.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("with its sidecar: %+v", r)
	}
	w.drop("other.ply", "more points")
	r = w.after(10 * time.Minute)
	if len(r.Refused) != 1 || r.Refused[0].Place != "inbox/refused/other.ply" || !strings.Contains(r.Refused[0].Reason, "no sidecar other.ply.toml came within 10 min") {
		t.Errorf("after 10 min: %+v", r)
	}
	// Putting it back with its sidecar takes it in anew.
	if err := errors.Join(os.Rename(filepath.Join(w.root, "inbox/refused/other.ply"), filepath.Join(w.root, "inbox/other.ply")),
		os.Rename(filepath.Join(w.root, "inbox/refused/other.ply.reason.txt"), filepath.Join(w.root, "inbox/other.ply.reason.txt"))); err != nil {
		t.Fatal(err)
	}
	w.drop("other.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("put back: %+v", r)
	}
	w.want(Folder)
}

// A repository that is not there is an error; one without an inbox is none.
func TestNothingThere(t *testing.T) {
	w := newWorks(t)
	if err := os.Remove(filepath.Join(w.root, Folder)); err != nil {
		t.Fatal(err)
	}
	if r := w.look(); len(r.Waiting)+len(r.Trouble) > 0 || !r.Next.IsZero() {
		t.Errorf("%+v", r)
	}
	if err := os.Rename(w.root, w.root+"-away"); err != nil {
		t.Fatal(err)
	}
	if _, err := w.box.Look(context.Background()); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v", err)
	}
}
