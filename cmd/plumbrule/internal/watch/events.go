package watch

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Events is a source of file system events, as fsnotify is.
type Events interface {
	Add(folder string) error
	Remove(folder string) error
	Close() error
	Changes() <-chan fsnotify.Event
	Faults() <-chan error
}

type notified struct{ *fsnotify.Watcher }

func (n notified) Changes() <-chan fsnotify.Event { return n.Events }
func (n notified) Faults() <-chan error           { return n.Errors }

func system() (Events, error) {
	w, err := fsnotify.NewBufferedWatcher(4096)
	if err != nil {
		return nil, err
	}
	return notified{w}, nil
}

func (f *follower) begin() {
	open := f.Events
	if open == nil {
		open = system
	}
	f.root = f.folder()
	events, err := open()
	if err == nil && f.root == nil {
		_ = events.Close()
		err = errors.New("the repository's folder is not there")
	}
	if err != nil {
		f.without(err)
		return
	}
	f.events = events
	f.watch(f.Root)
}

// folder is what is at the root now; nil if nothing is.
func (f *follower) folder() fs.FileInfo {
	info, err := os.Stat(f.Root)
	if err != nil {
		return nil
	}
	return info
}

// replaced tells whether another folder is at the root than the one that is followed, of which no event tells.
func (f *follower) replaced() bool {
	now := f.folder()
	return f.root != nil && (now == nil || !os.SameFile(now, f.root))
}

// again asks for events once more, where there have been none for long enough.
func (f *follower) again(now time.Time) {
	if f.events != nil || now.Before(f.retry) || f.folder() == nil {
		return
	}
	f.begin()
	f.pending.everything(now.Add(-f.Settle))
	if f.events != nil {
		f.pending.note("the system tells of changes again")
		f.pause = 0
	}
}

func (f *follower) stop() {
	if f.events != nil {
		_ = f.events.Close()
	}
}

// without goes on without events.
func (f *follower) without(err error) {
	f.stop()
	f.events = nil
	if f.pause == 0 {
		f.pending.note(fmt.Sprintf("changes are looked for every %s, because the system does not tell of them: %s", f.Poll, err))
	}
	f.polled = f.Clock.Now()
	f.retry = f.polled.Add(f.pause)
	f.pause = min(max(2*f.pause, f.Poll), longestPause)
}

// gone goes on without events after the folder was moved, removed or replaced.
func (f *follower) gone() {
	f.pending.everything(f.Clock.Now())
	f.without(errors.New("the repository's folder was moved or removed"))
}
