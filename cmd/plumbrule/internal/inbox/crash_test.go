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

	"pgregory.net/rapid"
)

// dying is a file system in which the program ends at one step: nothing it does
// after that comes to the disk, no cleaning up either.
type dying struct {
	system
	steps  int // done so far
	last   int // the step at which it ends; 0: never
	how    ending
	writes bool // the last step was one that writes
}

// ending is how far the last step comes.
type ending int

const (
	undone ending = iota
	half          // of what was to be written
	done
	endings
)

var errDead = errors.New("the program has ended")

// step counts; it tells whether the step is done, and whether the program lives on.
func (d *dying) step() (does, lives bool) {
	d.steps++
	if d.last == 0 || d.steps < d.last {
		return true, true
	}
	return d.steps == d.last && d.how == done, false
}

func (d *dying) do(f func() error) error {
	does, lives := d.step()
	var err error
	if does {
		err = f()
	}
	if !lives {
		return errDead
	}
	return err
}

func (d *dying) mkdir(name string) error {
	return d.do(func() error { return d.system.mkdir(name) })
}

func (d *dying) move(from, to string) error {
	return d.do(func() error { return d.system.move(from, to) })
}

func (d *dying) replace(from, to string) error {
	return d.do(func() error { return d.system.replace(from, to) })
}

func (d *dying) remove(name string) error {
	return d.do(func() error { return d.system.remove(name) })
}

// settle and Sync count, and wait for no disk.
func (d *dying) settle(string) error { return d.do(func() error { return nil }) }

func (d *dying) create(name string) (f target, err error) {
	err = d.do(func() error { f, err = d.system.create(name); return err })
	if err != nil {
		return nil, err
	}
	return &dyingFile{target: f, disk: d}, nil
}

type dyingFile struct {
	target
	disk *dying
}

func (f *dyingFile) Write(p []byte) (int, error) {
	does, lives := f.disk.step()
	f.disk.writes = f.disk.writes || f.disk.steps == f.disk.last
	n, err := 0, error(nil)
	switch {
	case does:
		n, err = f.target.Write(p)
	case f.disk.steps == f.disk.last && f.disk.how == half:
		n, err = f.target.Write(p[:len(p)/2])
	}
	if !lives {
		return n, errDead
	}
	return n, err
}

func (f *dyingFile) Sync() error { return f.disk.do(func() error { return nil }) }

// story is a drop and what must have become of it in the end.
type story struct {
	name string
	drop func(*works)
	want func(*works)
}

func stories() []story {
	return []story{
		{"scan with sidecar", func(w *works) {
			w.drop("bar.ply", "points")
			w.drop("bar.ply.toml", said)
			w.drop("bar.ply.done", "")
		}, func(w *works) {
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
			w.want("scans", "scan-01/2026/bar.ply", "scan-01/2026/bar.ply.toml.txt")
			w.want(Folder)
			if got := w.read("scans/scan-01/2026/bar.ply"); got != "points" {
				w.t.Errorf("the archive has %q", got)
			}
			if got := w.read("scans/scan-01/2026/bar.ply.toml.txt"); got != said {
				w.t.Errorf("the sidecar's copy is %q", got)
			}
		}},
		{"repeats", func(w *works) {
			w.drop("a.ply", "first")
			w.drop("b.ply", "second")
			w.drop("bar.toml", said+"scans = [\"b.ply\", \"a.ply\"]\n")
		}, func(w *works) {
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
			w.want("scans", "scan-01/2026/a.ply", "scan-01/2026/b.ply", "scan-01/2026/b.ply.toml.txt")
			w.want(Folder)
		}},
		{"two drops whose records have one name", func(w *works) {
			w.drop("a.ply", "first")
			w.drop("a.ply.toml", said)
			w.drop("b.ply", "second")
			w.drop("b.ply.toml", said)
		}, func(w *works) {
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml", "scan-01/2026/2026-10-05T0812-bar-weekly-2.toml")
			w.want("scans", "scan-01/2026/a.ply", "scan-01/2026/b.ply", "scan-01/2026/a.ply.toml.txt", "scan-01/2026/b.ply.toml.txt")
			w.want(Folder)
		}},
		{"a name that is taken in the archive", func(w *works) {
			w.mkdir(filepath.Join(w.root, "scans/scan-01/2026"))
			if err := os.WriteFile(filepath.Join(w.root, "scans/scan-01/2026/bar.ply"), []byte("another"), 0o644); err != nil {
				w.t.Fatal(err)
			}
			w.drop("bar.ply", "points")
			w.drop("bar.ply.toml", said)
		}, func(w *works) {
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
			w.want("scans", "scan-01/2026/bar.ply", "scan-01/2026/bar-2.ply", "scan-01/2026/bar-2.ply.toml.txt")
			w.want(Folder)
			if got := w.read("scans/scan-01/2026/bar.ply"); got != "another" {
				w.t.Errorf("what lay in the archive is now %q", got)
			}
		}},
		{"refused", func(w *works) {
			w.drop("bar.ply", "points")
			w.drop("bar.ply.toml", "devise = \"scan-01\"\n")
		}, func(w *works) {
			w.want("checks")
			w.want("scans")
			w.want(Folder, "refused/bar.ply", "refused/bar.ply.reason.txt", "refused/bar.ply.toml")
		}},
	}
}

// quiet looks until nothing is left to be done.
func (w *works) quiet() {
	w.t.Helper()
	for range 20 {
		r := w.look()
		if len(r.Waiting)+len(r.Trouble)+len(r.Taken)+len(r.Refused) == 0 {
			return
		}
		w.clock.at = w.clock.at.Add(time.Minute)
	}
	w.t.Errorf("it does not come to rest: %+v", w.look())
}

// run lets the program end at a step, and then go on.
func (s *story) run(w *works, lose bool, kills ...*dying) (steps int) {
	w.t.Helper()
	s.drop(w)
	for _, d := range kills {
		w.disk = d
		w.restart()
		for range 3 {
			_, _ = w.box.Look(context.Background())
			w.clock.at = w.clock.at.Add(10 * time.Second)
		}
		steps = d.steps
		if lose {
			_ = os.RemoveAll(w.state)
		}
	}
	w.disk = &dying{}
	w.restart()
	w.quiet()
	return steps
}

// Wherever the program ends, afterwards there is one record, one archived original
// with its sidecar, and nothing in the inbox and the state directory.
func TestEndedAtEveryStep(t *testing.T) {
	for _, s := range stories() {
		t.Run(s.name, func(t *testing.T) {
			w := newWorks(t)
			steps := s.run(w, false, &dying{})
			s.want(w)
			if steps < 10 {
				t.Fatalf("only %d steps", steps)
			}
			// A step that is done is the one before the next that is not.
			for last := 1; last <= steps; last++ {
				for _, how := range []ending{undone, half} {
					w := newWorks(t)
					d := &dying{last: last, how: how}
					s.run(w, false, d)
					s.want(w)
					w.nothingUnderWay()
					if t.Failed() {
						t.Fatalf("ended at step %d of %d, %d", last, steps, how)
					}
					if !d.writes {
						break // there is nothing to be half done
					}
				}
			}
		})
	}
}

func (w *works) nothingUnderWay() {
	w.t.Helper()
	entries, err := os.ReadDir(filepath.Join(w.state, "inbox"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		w.t.Fatal(err)
	}
	if len(entries) > 0 {
		w.t.Errorf("in the state directory is left %v", entries)
	}
}

// Without the state directory nothing is taken in twice either; a drop whose
// record was written is then put aside, and not lost.
func TestEndedAtEveryStepAndStateLost(t *testing.T) {
	s := stories()[0]
	w := newWorks(t)
	steps := s.run(w, false, &dying{})
	for last := 1; last <= steps; last++ {
		w := newWorks(t)
		s.run(w, true, &dying{last: last, how: done})
		if n := len(w.list("checks")); n != 1 {
			t.Errorf("ended at step %d: %d records", last, n)
		}
		if got := w.read("scans/scan-01/2026/bar.ply"); got != "points" {
			t.Errorf("ended at step %d: the archive has %q", last, got)
		}
		for _, r := range must(w.box.Refused()) {
			if !strings.HasSuffix(r.File, sidecarEnding) && !strings.Contains(r.Reason, w.list("checks")[0]) {
				t.Errorf("ended at step %d: the reason does not name the record: %s", last, r.Reason)
			}
		}
		if got := w.list(Folder + "/" + refusedFolder); len(w.list(Folder)) != len(got) {
			t.Errorf("ended at step %d: in the inbox is left %q", last, w.list(Folder))
		}
	}
}

// Ended again and again, also while it goes on with what was begun.
func TestEndedAgainAndAgain(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		all := stories()
		s := all[rapid.IntRange(0, len(all)-1).Draw(r, "story")]
		var kills []*dying
		for range rapid.IntRange(1, 5).Draw(r, "ends") {
			kills = append(kills, &dying{last: rapid.IntRange(1, 60).Draw(r, "step"), how: ending(rapid.IntRange(0, int(endings)-1).Draw(r, "how"))})
		}
		w := newWorks(t)
		s.run(w, false, kills...)
		s.want(w)
		w.nothingUnderWay()
		if t.Failed() {
			r.Fatal(s.name)
		}
	})
}
