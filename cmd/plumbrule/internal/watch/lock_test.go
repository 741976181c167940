package watch_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"plumbrule/cmd/plumbrule/internal/watch"
)

func take(t *testing.T, root, dir, who string) *watch.Held {
	t.Helper()
	h, err := watch.Take(root, dir, who)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(h.Release)
	return h
}

func TestOneWatcherForAStateDirectory(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "state")
	if watch.Known(dir) {
		t.Error("a watcher is known where none was")
	}
	first := take(t, t.TempDir(), dir, "process 17")
	if _, err := watch.Take(t.TempDir(), dir, "process 18"); !errors.Is(err, watch.ErrLocked) || !strings.Contains(err.Error(), "process 17") {
		t.Errorf("second lock: %v", err)
	}
	first.Release()
	take(t, t.TempDir(), dir, "process 18")
	if !watch.Known(dir) {
		t.Error("no watcher is known where one is")
	}
}

func TestOneWatcherForARepository(t *testing.T) {
	root := t.TempDir()
	first := take(t, root, t.TempDir(), "process 17")
	if _, err := watch.Take(root, t.TempDir(), "process 18"); !errors.Is(err, watch.ErrLocked) {
		t.Errorf("second lock: %v", err)
	}
	take(t, "", t.TempDir(), "one who only writes notes")
	first.Release()
	take(t, root, t.TempDir(), "process 18")
}

func TestALockThatIsLostIsTakenAgain(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "state")
	h := take(t, "", dir, "process 17")
	if lost, err := h.Again(); lost || err != nil {
		t.Errorf("lost %v, %v, want it held", lost, err)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if lost, err := h.Again(); !lost || err != nil {
		t.Errorf("lost %v, %v, want it taken again", lost, err)
	}
	if _, err := watch.Take("", dir, "process 18"); !errors.Is(err, watch.ErrLocked) {
		t.Errorf("second lock: %v", err)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	take(t, "", dir, "process 18")
	if _, err := h.Again(); !errors.Is(err, watch.ErrLocked) {
		t.Errorf("taken again although another was first: %v", err)
	}
}
