package watch_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/fsnotify/fsnotify"

	"plumbrule/cmd/plumbrule/internal/watch"
)

// wall is the real clock; the file system has no other.
type wall struct{}

func (wall) Now() time.Time                         { return time.Now() }
func (wall) After(d time.Duration) <-chan time.Time { return time.After(d) }

func follow(t *testing.T, tree *watch.Tree) <-chan watch.Batch {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	batches := tree.Follow(ctx)
	t.Cleanup(func() {
		cancel()
		for range batches {
		}
	})
	first := next(t, batches)
	if !first.All {
		t.Fatalf("first %v, want everything", first)
	}
	return batches
}

func next(t *testing.T, batches <-chan watch.Batch) watch.Batch {
	t.Helper()
	select {
	case b := <-batches:
		return b
	case <-time.After(20 * time.Second):
		t.Fatal("nothing was told")
		return watch.Batch{}
	}
}

// until collects what is told until every path wanted was, or everything.
func until(t *testing.T, batches <-chan watch.Batch, wanted ...string) {
	t.Helper()
	left := slices.Clone(wanted)
	for len(left) > 0 {
		b := next(t, batches)
		if b.All {
			return
		}
		left = slices.DeleteFunc(left, func(path string) bool { return slices.Contains(b.Paths, path) })
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestTreeTellsOfChanges(t *testing.T) {
	root := t.TempDir()
	write(t, filepath.Join(root, "devices/scan-1.toml"), "a")
	batches := follow(t, &watch.Tree{Root: root, Settle: 50 * time.Millisecond, Poll: time.Minute, Clock: wall{}})

	write(t, filepath.Join(root, "devices/scan-1.toml"), "b")
	until(t, batches, "devices/scan-1.toml")

	// A file in a folder in a folder that were not there.
	write(t, filepath.Join(root, "checks/scan-1/2026/x.toml"), "c")
	until(t, batches, "checks/scan-1/2026/x.toml")

	// As editors save: a temporary file, renamed over the old one.
	write(t, filepath.Join(root, "devices/.scan-1.tmp"), "d")
	if err := os.Rename(filepath.Join(root, "devices/.scan-1.tmp"), filepath.Join(root, "devices/scan-1.toml")); err != nil {
		t.Fatal(err)
	}
	until(t, batches, "devices/scan-1.toml")

	// A folder moved in with what it holds.
	outside := filepath.Join(t.TempDir(), "2025")
	write(t, filepath.Join(outside, "y.toml"), "e")
	if err := os.Rename(outside, filepath.Join(root, "checks/scan-1/2025")); err != nil {
		t.Fatal(err)
	}
	until(t, batches, "checks/scan-1/2025/y.toml")

	if err := os.Remove(filepath.Join(root, "devices/scan-1.toml")); err != nil {
		t.Fatal(err)
	}
	until(t, batches, "devices/scan-1.toml")
}

// Folders made and filled as fast as possible: none is missed.
func TestTreeNewFoldersWithoutARace(t *testing.T) {
	root := t.TempDir()
	batches := follow(t, &watch.Tree{Root: root, Settle: 30 * time.Millisecond, Poll: time.Minute, Clock: wall{}})
	var wanted []string
	for i := range 200 {
		path := fmt.Sprintf("checks/scan-%d/2026/x.toml", i)
		write(t, filepath.Join(root, path), "x")
		wanted = append(wanted, path)
	}
	until(t, batches, wanted...)
}

// While git is at work nothing is told.
func TestTreeWaitsForGit(t *testing.T) {
	root := t.TempDir()
	write(t, filepath.Join(root, ".git/HEAD"), "ref: refs/heads/main")
	batches := follow(t, &watch.Tree{Root: root, Settle: 30 * time.Millisecond, Poll: time.Minute, Clock: wall{}})
	write(t, filepath.Join(root, ".git/index.lock"), "")
	write(t, filepath.Join(root, "devices/scan-1.toml"), "a")
	select {
	case b := <-batches:
		t.Fatalf("told %v while git was at work", b)
	case <-time.After(300 * time.Millisecond):
	}
	if err := os.Remove(filepath.Join(root, ".git/index.lock")); err != nil {
		t.Fatal(err)
	}
	until(t, batches, "devices/scan-1.toml")
}

// failing is a source of events that fails as told.
type failing struct {
	changes chan fsnotify.Event
	faults  chan error
	add     error
}

func (f failing) Add(string) error               { return f.add }
func (f failing) Remove(string) error            { return nil }
func (f failing) Close() error                   { return nil }
func (f failing) Changes() <-chan fsnotify.Event { return f.changes }
func (f failing) Faults() <-chan error           { return f.faults }

// No events at all, no watches left, or a source that ends: everything is looked through from time to time, and that is said.
func TestTreeWithoutEvents(t *testing.T) {
	closed := make(chan fsnotify.Event)
	close(closed)
	for name, events := range map[string]func() (watch.Events, error){
		"none":  func() (watch.Events, error) { return nil, errors.New("too many open files") },
		"limit": func() (watch.Events, error) { return failing{add: errors.New("no space left on device")}, nil },
		"ended": func() (watch.Events, error) { return failing{changes: closed}, nil },
	} {
		t.Run(name, func(t *testing.T) {
			tree := &watch.Tree{Root: t.TempDir(), Settle: 10 * time.Millisecond, Poll: 50 * time.Millisecond, Clock: wall{}, Events: events}
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			batches := tree.Follow(ctx)
			said := false
			for range 3 {
				b := next(t, batches)
				if !b.All {
					t.Fatalf("%v, want everything", b)
				}
				said = said || strings.Contains(strings.Join(b.Notes, " "), "changes are looked for every 50ms")
			}
			if !said {
				t.Error("nobody was told that there are no events")
			}
		})
	}
}

// A queue that overflowed has lost events: everything is looked through.
func TestTreeOverflow(t *testing.T) {
	source := failing{changes: make(chan fsnotify.Event), faults: make(chan error, 1)}
	batches := follow(t, &watch.Tree{
		Root: t.TempDir(), Settle: 10 * time.Millisecond, Poll: time.Minute, Clock: wall{},
		Events: func() (watch.Events, error) { return source, nil },
	})
	source.faults <- fsnotify.ErrEventOverflow
	if b := next(t, batches); !b.All || len(b.Notes) != 1 {
		t.Errorf("%+v, want everything and a note", b)
	}
}
