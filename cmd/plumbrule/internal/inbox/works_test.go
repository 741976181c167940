package inbox

import (
	"context"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"plumbrule/records"
)

// clock is a time of day that tests set.
type clock struct{ at time.Time }

func (c *clock) Now() time.Time { return c.at }

// works is a repository with an inbox, and what makes records of what is dropped.
type works struct {
	t     testing.TB
	root  string
	state string
	clock *clock
	disk  disk
	box   *Inbox
	drops []records.Drop
	take  Take
	seen  []Drop // what take was given
}

func newWorks(t testing.TB) *works {
	t.Helper()
	top := t.TempDir()
	w := &works{
		t: t, root: filepath.Join(top, "records"), state: filepath.Join(top, "state"), disk: system{},
		clock: &clock{time.Date(2026, 10, 5, 8, 12, 0, 0, time.UTC)},
	}
	w.take = w.record
	w.mkdir(w.root)
	w.mkdir(filepath.Join(w.root, Folder))
	w.restart()
	return w
}

func (w *works) mkdir(name string) {
	w.t.Helper()
	if err := os.MkdirAll(name, 0o755); err != nil {
		w.t.Fatal(err)
	}
}

// restart opens the inbox anew, as a program that was ended is started again.
func (w *works) restart() {
	w.box = open(Settings{
		Root: w.root, State: w.state, Stable: 5 * time.Second, Clock: w.clock, Drops: w.drops, Known: w.known,
		Take: func(ctx context.Context, d Drop) (Made, error) {
			w.seen = append(w.seen, d)
			return w.take(ctx, d)
		},
	}, w.disk)
}

// record makes a record that names the files by their digests, as those of checks do.
func (w *works) record(_ context.Context, d Drop) (Made, error) {
	m := Made{Record: "checks/scan-01/2026/2026-10-05T0812-bar-weekly.toml", Device: "scan-01"}
	var text strings.Builder
	fmt.Fprintf(&text, "entered = %s\n", w.clock.at.Format(time.RFC3339))
	for _, f := range d.Files {
		to := w.freeName("scans/scan-01/2026/"+f.Name, f.SHA256)
		fmt.Fprintf(&text, "scan = %q # %s\n", to, f.SHA256)
		m.To = append(m.To, to)
	}
	m.Text = []byte(text.String())
	return m, nil
}

// freeName is a name in the archive that is free, or has this content.
func (w *works) freeName(name, digest string) string {
	for n := 1; ; n++ {
		free := path.Join(path.Dir(name), numbered(path.Base(name), n))
		text, err := os.ReadFile(filepath.Join(w.root, free))
		if err != nil || digestOf(text) == digest {
			return free
		}
	}
}

// known looks for a digest in the records that are there.
func (w *works) known(digest string) (string, bool) {
	for _, file := range w.list("checks") {
		if strings.HasPrefix(path.Base(file), ".") {
			continue
		}
		if strings.Contains(w.read(file), digest) {
			return file, true
		}
	}
	return "", false
}

func (w *works) read(name string) string {
	w.t.Helper()
	text, err := os.ReadFile(filepath.Join(w.root, name))
	if err != nil {
		w.t.Fatal(err)
	}
	return string(text)
}

// list returns what is not a folder in and below a folder of the repository.
func (w *works) list(folder string) []string {
	w.t.Helper()
	var out []string
	err := filepath.WalkDir(filepath.Join(w.root, folder), func(name string, e os.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			inside, err := filepath.Rel(w.root, name)
			if err != nil {
				return err
			}
			out = append(out, filepath.ToSlash(inside))
		}
		return nil
	})
	if err != nil {
		w.t.Fatal(err)
	}
	slices.Sort(out)
	return out
}

// drop writes a file into the inbox.
func (w *works) drop(name, text string) {
	w.t.Helper()
	if err := os.WriteFile(filepath.Join(w.root, Folder, name), []byte(text), 0o644); err != nil {
		w.t.Fatal(err)
	}
}

// look looks once.
func (w *works) look() Report {
	w.t.Helper()
	r, err := w.box.Look(context.Background())
	if err != nil {
		w.t.Fatal(err)
	}
	return r
}

// after looks, lets time pass, and looks again. What was done by both looks is
// reported.
func (w *works) after(d time.Duration) Report {
	w.t.Helper()
	first := w.look()
	w.clock.at = w.clock.at.Add(d)
	r := w.look()
	r.Taken, r.Refused = append(first.Taken, r.Taken...), append(first.Refused, r.Refused...)
	return r
}

// want compares the files in and below a folder.
func (w *works) want(folder string, files ...string) {
	w.t.Helper()
	for i := range files {
		files[i] = path.Join(folder, files[i])
	}
	slices.Sort(files)
	if got := w.list(folder); !slices.Equal(got, files) {
		w.t.Errorf("in %s lie %q, want %q", folder, got, files)
	}
}

const said = "device = \"scan-01\"\nartifact = \"bar-800\"\nprocedure = \"bar-weekly\"\nby = \"mk\"\n"
