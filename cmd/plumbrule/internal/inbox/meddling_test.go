package inbox

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// One scan under two names is one check.
func TestOneScanUnderTwoNames(t *testing.T) {
	w := newWorks(t)
	for _, name := range []string{"a.ply", "b.ply"} {
		w.drop(name, "points")
		w.drop(name+".toml", said)
	}
	r := w.after(5 * time.Second)
	if len(r.Taken) != 1 || len(r.Refused) != 2 || !strings.Contains(r.Refused[0].Reason, "b.ply was taken in before: checks/scan-01/2026/2026-10-05T0812-bar-weekly.toml names it") {
		t.Errorf("%+v", r)
	}
	// Once the record is gone, the scan can be taken in again.
	if err := os.Remove(filepath.Join(w.root, r.Taken[0].Record)); err != nil {
		t.Fatal(err)
	}
	w.drop("a.ply", "points")
	w.drop("a.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
	w.want("scans", "scan-01/2026/a.ply", "scan-01/2026/a.ply.toml.txt")
}

// A file that is written to while it is read is not taken in with half of it.
func TestChangesWhileItIsRead(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	w.take = func(ctx context.Context, d Drop) (Made, error) {
		w.drop("bar.ply", "points and more") // after its digest was taken
		return w.record(ctx, d)
	}
	r := w.after(5 * time.Second)
	if len(r.Taken) > 0 || len(r.Trouble) == 0 {
		t.Errorf("%+v", r)
	}
	w.want("checks")
	w.want("scans")
	w.take = w.record
	w.clock.at = w.clock.at.Add(time.Minute)
	if r := w.after(time.Minute); len(r.Taken) != 1 || r.Taken[0].Digest != digestOf([]byte("points and more")) {
		t.Errorf("%+v", r)
	}
	w.nothingUnderWay()
}

// A file that is taken away while it is read leaves nothing behind.
func TestVanishesWhileItIsRead(t *testing.T) {
	w := newWorks(t)
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	w.take = func(ctx context.Context, d Drop) (Made, error) {
		return must(w.record(ctx, d)), os.Remove(d.Files[0].Path)
	}
	if r := w.after(5 * time.Second); len(r.Taken) > 0 || len(r.Trouble) == 0 {
		t.Errorf("%+v", r)
	}
	w.want("checks")
	w.nothingUnderWay()
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Another drop under the name of one that was taken in meanwhile is another drop.
func TestAnotherDropUnderItsName(t *testing.T) {
	recorded := 0
	for last := 1; last < 60; last++ {
		w := newWorks(t)
		w.disk = &dying{last: last, how: done}
		w.restart()
		w.drop("bar.ply", "points")
		w.drop("bar.ply.toml", said)
		w.look()
		w.clock.at = w.clock.at.Add(5 * time.Second)
		w.look()
		if len(w.list("checks")) == 0 || strings.Contains(w.list("checks")[0], "/.new-") || len(w.list(Folder)) < 2 {
			continue
		}
		recorded++
		w.drop("bar.ply", "other points")
		w.disk = &dying{}
		w.restart()
		r := w.look()
		if len(r.Taken) != 1 || r.Taken[0].Digest != digestOf([]byte("points")) {
			t.Fatalf("ended at step %d: %+v", last, r)
		}
		if got := w.read("inbox/bar.ply"); got != "other points" {
			t.Errorf("ended at step %d: the other drop is %q", last, got)
		}
	}
	if recorded == 0 {
		t.Error("no end came between record and inbox")
	}
}

// A record that was corrected by hand after the program had ended is the record
// of the drop all the same.
func TestRecordChangedBeforeTheRestart(t *testing.T) {
	for last := 1; last < 60; last++ {
		w := newWorks(t)
		w.disk = &dying{last: last, how: done}
		w.restart()
		w.drop("bar.ply", "points")
		w.drop("bar.ply.toml", said)
		w.look()
		w.clock.at = w.clock.at.Add(5 * time.Second)
		w.look()
		list := w.list("checks")
		if len(list) == 0 || strings.Contains(list[0], "/.new-") {
			continue
		}
		if err := os.WriteFile(filepath.Join(w.root, list[0]), []byte(w.read(list[0])+"note = \"cold\"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		w.disk = &dying{}
		w.restart()
		w.quiet()
		w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
		w.want(Folder)
	}
}

// meddling is a file system in which somebody else does something when a file is
// given its name.
type meddling struct {
	system
	when string
	do   func()
}

func (m *meddling) move(from, to string) error {
	err := m.system.move(from, to)
	if strings.Contains(to, m.when) {
		m.do()
	}
	return err
}

// What comes under the name of a drop after it was archived is another drop.
func TestReplacedBeforeItIsCleared(t *testing.T) {
	w := newWorks(t)
	w.disk = &meddling{when: "bar-weekly.toml", do: func() { w.drop("bar.ply", "other points") }}
	w.restart()
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
	if got := w.read("inbox/bar.ply"); got != "other points" {
		t.Errorf("the other drop is %q", got)
	}
}

// A record whose name somebody else takes meanwhile gets the next one.
func TestRecordNameTakenMeanwhile(t *testing.T) {
	w := newWorks(t)
	taken := filepath.Join(w.root, "checks/scan-01/2026/2026-10-05T0812-bar-weekly.toml")
	w.disk = &meddling{when: "bar.ply.toml.txt", do: func() {
		w.mkdir(filepath.Dir(taken))
		if err := os.WriteFile(taken, []byte("somebody else's"), 0o644); err != nil {
			t.Fatal(err)
		}
	}}
	w.restart()
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	r := w.after(5 * time.Second)
	if len(r.Taken) != 1 || r.Taken[0].Record != "checks/scan-01/2026/2026-10-05T0812-bar-weekly-2.toml" {
		t.Errorf("%+v", r)
	}
	if got, err := os.ReadFile(taken); err != nil || string(got) != "somebody else's" {
		t.Errorf("%q, %v", got, err)
	}
}

// A record that is known and not there any more keeps nothing out.
func TestKnownRecordThatIsGone(t *testing.T) {
	w := newWorks(t)
	w.box.Set(func(s *Settings) {
		s.Known = func(string) (string, bool) { return "checks/scan-01/2026/gone.toml", true }
	})
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
}

// An intent that nobody can read is put aside; the drop is looked at anew.
func TestDamagedIntent(t *testing.T) {
	w := newWorks(t)
	w.mkdir(filepath.Join(w.state, "inbox"))
	for _, text := range []string{"{", "{}", `{"v":1,"want":"checks/a.toml","record":"../../etc/passwd","originals":[{"name":"a","sha256":"` + strings.Repeat("0", 64) + `","to":"x"}]}`} {
		if err := os.WriteFile(filepath.Join(w.state, "inbox", "0000000000000000.json"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if r := w.look(); len(r.Trouble) != 1 {
			t.Errorf("%s: %+v", text, r)
		}
		if r := w.look(); len(r.Trouble) != 0 {
			t.Errorf("%s, again: %+v", text, r)
		}
		kept, err := os.ReadFile(filepath.Join(w.state, "inbox", "0000000000000000.json.damaged"))
		if err != nil || string(kept) != text {
			t.Errorf("kept is %q, %v, want %q", kept, err, text)
		}
	}
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
}

// The sidecar of another drop may be the same, word for word: it stays with that
// drop.
func TestAnotherDropWithTheSameSidecar(t *testing.T) {
	cleared := 0
	for last := 1; last < 60; last++ {
		w := newWorks(t)
		w.disk = &dying{last: last}
		w.restart()
		w.drop("bar.ply", "points")
		w.drop("bar.ply.toml", said)
		w.look()
		w.clock.at = w.clock.at.Add(5 * time.Second)
		w.look()
		if len(w.list(Folder)) > 0 {
			continue
		}
		cleared++
		w.drop("bar.ply", "other points")
		w.drop("bar.ply.toml", said)
		w.disk = &dying{}
		w.restart()
		w.quiet()
		if n := len(w.list("checks")); n != 2 {
			t.Errorf("ended at step %d: %d records, want 2", last, n)
		}
	}
	if cleared == 0 {
		t.Error("no end came after the inbox was cleared")
	}
}
