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

	"plumbrule/records"
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

// What a group of files is, goes by what is said of it.
func TestWhatBelongsTogether(t *testing.T) {
	drops := []records.Drop{{Name: "{device}+*.ply", Procedure: "bar-weekly", Artifact: "bar-800", By: "rs"}}
	for _, c := range []struct {
		what    string
		files   map[string]string
		after   time.Duration
		taken   string // names of the originals, in their order
		device  string
		refused string // names, and a part of the reason
		reason  string
		waiting string
	}{
		{what: "by a pattern", files: map[string]string{"scan-07+1.ply": "a"}, taken: "scan-07+1.ply", device: "scan-07"},
		{what: "the sidecar before the pattern", files: map[string]string{"scan-07+1.ply": "a", "scan-07+1.ply.toml": "device = \"scan-01\"\n"}, taken: "scan-07+1.ply", device: "scan-01"},
		{what: "the pattern after the sidecar", files: map[string]string{"scan-07+1.ply": "a", "scan-07+1.ply.toml": "note = \"cold\"\n"}, taken: "scan-07+1.ply", device: "scan-07"},
		{what: "in capitals", files: map[string]string{"BAR.PLY": "a", "BAR.PLY.TOML": said, "BAR.PLY.DONE": ""}, taken: "BAR.PLY", device: "scan-01"},
		{what: "listed", files: map[string]string{"a.ply": "a", "b.ply": "b", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, taken: "b.ply a.ply", device: "scan-01"},
		{what: "listed, in the name of one", files: map[string]string{"a.ply": "a", "b.ply": "b", "a.ply.toml": said + `scans = ["b.ply", "a.ply"]`}, taken: "b.ply a.ply", device: "scan-01"},
		{what: "readings alone", files: map[string]string{"typed.toml": said + "[[reading]]\nfeature = \"A\"\nvalues = [30.0]\n"}, taken: "typed.toml", device: "scan-01"},
		{what: "two sidecars", files: map[string]string{"a.ply": "a", "a.ply.toml": said, "b.toml": said + `scans = ["a.ply"]`}, refused: "a.ply a.ply.toml b.toml", reason: "Two sidecars speak of a.ply"},
		{what: "one sidecar for a stem", files: map[string]string{"a.ply": "a", "a.csv": "b", "a.toml": said}, after: 10 * time.Minute, refused: "a.toml a.csv a.ply", reason: "No file a has come"},
		{what: "not in its own list", files: map[string]string{"a.ply": "a", "b.ply": "b", "a.ply.toml": said + `scans = ["b.ply"]`}, refused: "b.ply a.ply a.ply.toml", reason: "lists scans, and not the file a.ply"},
		{what: "one has not come", files: map[string]string{"a.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, waiting: "a.ply c.toml"},
		{what: "one never comes", files: map[string]string{"a.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, after: 10 * time.Minute, refused: "a.ply c.toml", reason: "lists b.ply, which has not come"},
		{what: "the same scan twice", files: map[string]string{"a.ply": "a", "b.ply": "a", "c.toml": said + `scans = ["b.ply", "a.ply"]`}, refused: "b.ply a.ply c.toml", reason: "b.ply and a.ply are the same scan"},
		{what: "outside", files: map[string]string{"c.toml": said + `scans = ["../plumbrule.toml"]`}, refused: "c.toml", reason: `"../plumbrule.toml" is no name of a file beside this one. See inbox/c.toml:5:10`},
		{what: "an unknown key", files: map[string]string{"a.ply": "a", "a.ply.toml": "devise = \"scan-01\"\n"}, refused: "a.ply a.ply.toml", reason: "See inbox/a.ply.toml:1:1."},
		{what: "a large sidecar", files: map[string]string{"a.ply": "a", "a.ply.toml": "# " + strings.Repeat("x", 1<<20)}, refused: "a.ply a.ply.toml", reason: "larger than 1024 kB"},
		{what: "binary sidecar", files: map[string]string{"a.ply": "a", "a.ply.toml": "\x00\x01\xff"}, refused: "a.ply a.ply.toml", reason: "cannot be used"},
		{what: "done, and nothing else", files: map[string]string{"a.ply.done": ""}, after: 10 * time.Minute, refused: "a.ply.done", reason: "It is about a file a.ply"},
		{what: "nothing in it", files: map[string]string{"a.ply": "", "a.ply.toml": said}, waiting: "a.ply a.ply.toml"},
		{what: "never anything in it", files: map[string]string{"a.ply": "", "a.ply.toml": said}, after: 10 * time.Minute, refused: "a.ply a.ply.toml", reason: "a.ply is empty"},
		{what: "nothing in it, and done", files: map[string]string{"a.ply": "", "a.ply.toml": said, "a.ply.done": ""}, refused: "a.ply a.ply.toml", reason: "is empty"},
		{what: "unfinished", files: map[string]string{"a.ply.part": "a", "b.TMP": "b", "c~": "c", "d.crdownload": "d"}, after: time.Hour, waiting: "a.ply.part b.TMP c~ d.crdownload"},
		{what: "nobody's business", files: map[string]string{".gitkeep": "", "README.md": "drop here", ".a.ply.swp": "x"}, after: time.Hour},
		{what: "control characters", files: map[string]string{"a\nb.ply": "a", "\x1b[31m.ply": "b"}, refused: "\x1b[31m.ply a\nb.ply", reason: "control characters"},
		{what: "a long name", files: map[string]string{strings.Repeat("a", 240) + ".ply": "a"}, refused: strings.Repeat("a", 240) + ".ply", reason: "longer than 200 bytes"},
		{what: "no UTF-8", files: map[string]string{"a\xff.ply": "a"}, refused: "a\xff.ply", reason: "no UTF-8"},
		{what: "hidden by dots", files: map[string]string{"..ply": "a", "...": "b"}, after: time.Hour},
	} {
		t.Run(c.what, func(t *testing.T) {
			w := newWorks(t)
			w.drops = drops
			w.restart()
			for name, text := range c.files {
				w.drop(name, text)
			}
			r := w.after(max(c.after, 5*time.Second))
			var taken, refused, waiting []string
			for _, x := range r.Taken {
				taken = append(taken, x.File)
			}
			for _, x := range r.Refused {
				refused = append(refused, x.File)
				if !strings.Contains(x.Reason, c.reason) && len(refused) == 1 {
					t.Errorf("the reason is %q, want %q", x.Reason, c.reason)
				}
				if _, err := os.Lstat(filepath.Join(w.root, x.Place)); err != nil {
					t.Error(err)
				}
			}
			for _, x := range r.Waiting {
				waiting = append(waiting, x.File)
			}
			for what, pair := range map[string][2]string{"taken": {strings.Join(taken, " "), c.taken}, "refused": {strings.Join(refused, " "), c.refused}, "waiting": {strings.Join(waiting, " "), c.waiting}} {
				if pair[0] != pair[1] {
					t.Errorf("%s is %q, want %q", what, pair[0], pair[1])
				}
			}
			if c.device != "" && (len(w.seen) != 1 || w.seen[0].Said.Device != c.device) {
				t.Errorf("said was %+v", w.seen)
			}
			if len(r.Trouble) > 0 {
				t.Errorf("%+v", r.Trouble)
			}
			list, err := w.box.Refused()
			if err != nil || (len(list) == 0) != (c.refused == "") {
				t.Errorf("refused lie %+v, %v", list, err)
			}
			for i := range list {
				if !strings.Contains(list[i].Reason, "no reason lies") || strings.HasSuffix(list[i].File, ".toml") {
					continue
				}
				t.Errorf("%+v", list[i])
			}
		})
	}
}

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

// failing is a file system in which nothing can be written in and below a folder.
type failing struct {
	system
	folder string
	with   error
}

func (f *failing) err(name string) error {
	if f.with != nil && strings.HasPrefix(name+"/", f.folder+"/") {
		return &fs.PathError{Op: "write", Path: name, Err: f.with}
	}
	return nil
}

func (f *failing) mkdir(name string) error {
	return orElse(f.err(name), func() error { return f.system.mkdir(name) })
}

func (f *failing) create(name string) (t target, err error) {
	return t, orElse(f.err(name), func() error { t, err = f.system.create(name); return err })
}

func (f *failing) move(from, to string) error {
	return orElse(f.err(to), func() error { return f.system.move(from, to) })
}

func (f *failing) replace(from, to string) error {
	return orElse(f.err(to), func() error { return f.system.replace(from, to) })
}

func (f *failing) remove(name string) error {
	return orElse(f.err(name), func() error { return f.system.remove(name) })
}

func orElse(err error, f func() error) error {
	if err != nil {
		return err
	}
	return f()
}

// A full disk, a read-only one and missing permissions are no faults of a drop:
// it stays, and is taken in when they are over.
func TestTroubleWithTheDisk(t *testing.T) {
	for _, errno := range []syscall.Errno{syscall.ENOSPC, syscall.EROFS, syscall.EACCES, syscall.EIO} {
		for _, folder := range []string{"checks", "scans", Folder, "../state"} {
			t.Run(folder+" "+errno.Error(), func(t *testing.T) {
				w := newWorks(t)
				d := &failing{folder: filepath.Join(w.root, folder), with: errno}
				w.disk = d
				w.restart()
				w.drop("bar.ply", "points")
				w.drop("bar.ply.toml", said)
				w.drop("bad.ply", "no points")
				w.drop("bad.ply.toml", "x = 1\n")
				r := w.after(5 * time.Second)
				if len(r.Taken) > 0 || len(r.Trouble) == 0 || !strings.Contains(r.Trouble[0].Why, errno.Error()) {
					t.Errorf("%+v", r)
				}
				for range 3 {
					w.clock.at = w.clock.at.Add(time.Minute)
					w.look()
				}
				d.with = nil
				if r := w.after(time.Minute); len(r.Taken) != 1 {
					t.Errorf("%+v", r)
				}
				w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
				w.want("scans", "scan-01/2026/bar.ply", "scan-01/2026/bar.ply.toml.txt")
				w.want(Folder, "refused/bad.ply", "refused/bad.ply.toml", "refused/bad.ply.reason.txt")
				w.nothingUnderWay()
			})
		}
	}
}

// Folders that cannot be written to are trouble, and the drop is taken in when
// they can.
func TestReadOnlyFolders(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("nothing is read-only for the superuser")
	}
	for _, folder := range []string{"checks", "scans", Folder} {
		t.Run(folder, func(t *testing.T) {
			w := newWorks(t)
			w.drop("bar.ply", "points")
			w.drop("bar.ply.toml", said)
			name := filepath.Join(w.root, folder)
			w.mkdir(name)
			if err := os.Chmod(name, 0o555); err != nil {
				t.Fatal(err)
			}
			r := w.after(5 * time.Second)
			if len(r.Taken)+len(r.Refused) > 0 || len(r.Trouble) == 0 || !strings.Contains(r.Trouble[0].Why, "permission denied") {
				t.Errorf("%+v", r)
			}
			if err := os.Chmod(name, 0o755); err != nil {
				t.Fatal(err)
			}
			if r := w.after(time.Minute); len(r.Taken) != 1 {
				t.Errorf("%+v", r)
			}
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
			w.want(Folder)
			w.nothingUnderWay()
		})
	}
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
	}
	w.drop("bar.ply", "points")
	w.drop("bar.ply.toml", said)
	if r := w.after(5 * time.Second); len(r.Taken) != 1 {
		t.Errorf("%+v", r)
	}
}
