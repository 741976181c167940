package watch_test

import (
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
	"plumbrule/cmd/plumbrule/internal/watch"
)

// TestOnceWaitsForWhatIsBeingSaved looks once while a check is half on the disk.
func TestOnceWaitsForWhatIsBeingSaved(t *testing.T) {
	for _, c := range []struct {
		name    string
		written time.Duration // before or after the look begins, by the clock of who writes
		rest    bool          // the rest comes while it is waited
		told    bool
	}{
		{"saved in time", 0, true, false},
		{"a second ago", -time.Second, true, false},
		{"by a clock that is ahead", 3 * time.Minute, true, false},
		{"never completed", 0, false, true},
		{"long ago", -time.Minute, false, true},
		{"by a clock of another age", 100 * time.Hour, false, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			root := filepath.Join(t.TempDir(), "shop")
			if err := os.CopyFS(root, os.DirFS("../../testdata/shop")); err != nil {
				t.Fatal(err)
			}
			clock := newManual("2026-11-25T08:00:00Z")
			long := clock.Now().Add(-1000 * time.Hour)
			if err := filepath.WalkDir(root, func(name string, _ os.DirEntry, err error) error {
				if err == nil {
					err = os.Chtimes(name, long, long)
				}
				return err
			}); err != nil {
				t.Fatal(err)
			}
			text, file := check(0), filepath.Join(root, laterCheck)
			write(t, file, text[:len(text)/2])
			at := clock.Now().Add(c.written)
			if err := os.Chtimes(file, at, at); err != nil {
				t.Fatal(err)
			}
			o := &outlets{results: make(chan dispatch.Result, 1000)}
			w := &watch.Watcher{Root: root, FS: os.DirFS(root), State: t.TempDir(), Clock: clock, Log: slog.New(slog.DiscardHandler), Outlets: o}
			if err := w.Open(); err != nil {
				t.Fatal(err)
			}
			ended := make(chan struct{})
			go func() {
				defer close(ended)
				w.Once(t.Context())
			}()
			if c.rest {
				for waits := false; !waits; waits = clock.waited() {
					select {
					case <-ended:
						t.Fatal("nobody waited")
					case <-time.After(time.Millisecond):
					}
				}
				write(t, file, text)
			}
			for open := true; open; {
				select {
				case <-ended:
					open = false
				case <-time.After(time.Millisecond):
					clock.pass(time.Second)
				}
			}
			if err := w.Close(); err != nil {
				t.Error(err)
			}
			if told := strings.Join(o.told(), "; "); strings.Contains(told, "unreadable") != c.told {
				t.Errorf("told: %s", told)
			}
		})
	}
}

// waited tells whether somebody waits.
func (c *manual) waited() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.waiting) > 0
}
