package watch

import (
	"context"
	"io/fs"
	"time"

	"plumbrule/records"
)

// Trial is a record that somebody is about to write.
type Trial struct {
	Files   fs.FS     // of the repository, with the record among them
	Name    string    // its path inside the repository
	At      time.Time // the instant after which dates lie in the future
	Written []string  // records that were written before, of which the watcher may not have heard yet
}

// Try says what is to be told of the records with one more, as [records.Load] would. False: it cannot be said from what is known,
// and they are to be loaded. It may be called from any goroutine while the watcher runs.
type Try func(ctx context.Context, t Trial) ([]records.Diagnostic, bool)

// asked is a trial on its way to the watcher.
type asked struct {
	Trial
	answer chan answered
}

type answered struct {
	told []records.Diagnostic
	ok   bool
}

// try hands a trial to the watcher's goroutine.
func (w *Watcher) try(ctx context.Context, t Trial) ([]records.Diagnostic, bool) {
	q := asked{t, make(chan answered, 1)}
	select {
	case w.trials <- q:
	case <-w.left:
		return nil, false
	case <-ctx.Done():
		return nil, false
	}
	a := <-q.answer
	return a.told, a.ok
}

// tried answers a trial.
func (w *Watcher) tried(q asked) {
	var a answered
	defer func() { q.answer <- a }()
	if !w.reachable() {
		return
	}
	if len(q.Written) > 0 {
		change, err := w.index.Update(q.Written...)
		if err != nil {
			return
		}
		w.took(change)
	}
	var found records.Change
	a.told, found, a.ok = w.index.Try(q.Files, q.Name, q.At)
	w.took(found)
}
