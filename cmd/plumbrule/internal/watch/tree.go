package watch

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Tree follows the files below a root.
type Tree struct {
	Root   string        // absolute path
	Settle time.Duration // how long a file must stand still
	Poll   time.Duration // how often everything is looked through where there are no events
	Clock  Clock
	Ask    <-chan struct{}        // asks for everything to be told, once it has come to rest
	Skip   func(path string) bool // folders that nobody needs to know of, slash-separated below Root

	// Events makes the source of events; nil: the system's. Tests put in one that fails.
	Events func() (Events, error)
}

// Follow sends what changes until the context ends, then closes the channel. The first batch is everything. A folder that
// appears is watched first and looked through afterwards, so that nothing can be put into it in between without being seen.
func (t *Tree) Follow(ctx context.Context) <-chan Batch {
	out := make(chan Batch)
	go func() {
		defer close(out)
		f := &follower{Tree: t, pending: newPending(t.Settle)}
		f.begin()
		f.pending.everything(t.Clock.Now().Add(-t.Settle))
		f.run(ctx, out)
		f.stop()
	}()
	return out
}

type follower struct {
	*Tree
	events  Events // nil: none, everything is polled
	pending *pending
	polled  time.Time
	busy    time.Time // since when git has been at work

	root  fs.FileInfo   // the folder that is followed: another may come into its place
	retry time.Time     // when events are to be asked for again
	pause time.Duration // how long is waited before that
}

// longestPause is how long it is left at looking everything through before events are asked for again.
const longestPause = time.Hour

// watch adds a folder and all below it, and notes what is in them as changed.
func (f *follower) watch(folder string) {
	_ = filepath.WalkDir(folder, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return nil //nolint:nilerr // it is gone again, or closed to us: the reader of the records will say so
		}
		path := f.path(name)
		if entry.IsDir() {
			if f.skipped(path) {
				return filepath.SkipDir
			}
			if f.events == nil {
				return filepath.SkipAll
			}
			if err := f.events.Add(name); err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, fs.ErrPermission) {
				f.without(err)
				return filepath.SkipAll
			}
			return nil
		}
		if folder != f.Root {
			f.pending.change(path, f.Clock.Now())
		}
		return nil
	})
}

func (f *follower) path(name string) string {
	relative, err := filepath.Rel(f.Root, name)
	if err != nil {
		return "."
	}
	return filepath.ToSlash(relative)
}

func (f *follower) skipped(path string) bool {
	return path == ".git" || strings.HasPrefix(path, ".git/") || f.Skip != nil && f.Skip(path)
}

func (f *follower) run(ctx context.Context, out chan<- Batch) {
	for {
		var changes <-chan fsnotify.Event
		var faults <-chan error
		if f.events != nil {
			changes, faults = f.events.Changes(), f.events.Faults()
		}
		var batch Batch
		var ready chan<- Batch
		now := f.Clock.Now()
		wait := f.Poll
		if f.events != nil && f.replaced() {
			f.gone()
			continue
		}
		if f.events == nil {
			f.again(now)
		}
		if f.events == nil {
			if next := f.polled.Add(f.Poll); !next.After(now) {
				f.polled = now
				f.pending.everything(now.Add(-f.Settle))
			} else {
				wait = next.Sub(now)
			}
		}
		if at, waiting := f.pending.due(); waiting {
			switch {
			case at.After(now):
				wait = min(wait, at.Sub(now))
			case f.held(now):
				wait = min(wait, f.Settle)
			default:
				var taken bool
				if batch, taken = f.pending.take(now); taken {
					ready = out
				} else {
					wait = min(wait, f.Settle)
				}
			}
		}
		if ready != nil {
			// Nobody reads events while the batch waits for its reader; the system's queue holds them, and says if it cannot.
			select {
			case ready <- batch:
			case <-ctx.Done():
				return
			}
			continue
		}
		select {
		case <-ctx.Done():
			return
		case <-f.Ask:
			f.pending.everything(f.Clock.Now().Add(-f.Settle))
		case event, open := <-changes:
			if !open {
				f.without(errors.New("the source of events has ended"))
				continue
			}
			f.note(event)
		case err, open := <-faults:
			switch {
			case !open:
				f.without(errors.New("the source of events has ended"))
			case errors.Is(err, fsnotify.ErrEventOverflow):
				f.pending.everything(f.Clock.Now())
				f.pending.note("more changes came than the system could queue: everything is looked through")
			default:
				f.pending.everything(f.Clock.Now())
				f.pending.note("the system's events: " + err.Error())
			}
		case <-f.Clock.After(max(wait, time.Millisecond)):
		}
	}
}

// held reports whether git is at work, and says so once when it takes too long.
func (f *follower) held(now time.Time) bool {
	why := Busy(f.Root)
	if why == "" {
		f.busy = time.Time{}
		return false
	}
	if f.busy.IsZero() || f.busy.After(now) {
		f.busy = now
	}
	if now.Sub(f.busy) < gitPatience {
		return true
	}
	f.pending.note(why + " for more than a minute; what is there is judged all the same")
	return false
}

// note takes one event.
func (f *follower) note(event fsnotify.Event) {
	path := f.path(event.Name)
	if f.skipped(path) {
		return
	}
	if event.Has(fsnotify.Create) || event.Has(fsnotify.Chmod) { // a folder may have been opened to us
		if info, err := os.Lstat(event.Name); err == nil && info.IsDir() {
			f.watch(event.Name)
		}
	}
	if path == "." && (event.Has(fsnotify.Remove) || event.Has(fsnotify.Rename)) {
		f.gone()
		return
	}
	f.pending.change(path, f.Clock.Now())
}
