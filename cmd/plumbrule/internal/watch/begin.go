package watch

import (
	"context"
	"time"
)

// ahead is how far the clock of who writes a file, such as a server's, may be ahead of ours.
const ahead = 5 * time.Minute

// begin lets what is being saved in this very moment come to rest before anybody is told of it: no event has told when it was written
// last, so its time of modification must do. It waits for the settling time, never for longer than files hold each other up, and
// only once, whatever the clocks say: a file that goes on being written is found again by its events, or by the next look.
func (w *Watcher) begin(ctx context.Context) {
	now, settle := w.Clock.Now(), min(w.watchSettings().SettleTime(), patience)
	if !w.index.Written(now.Add(-settle), now.Add(ahead)) {
		return
	}
	select {
	case <-w.Clock.After(settle):
		w.rescan(w.Clock.Now())
	case <-ctx.Done():
	}
}
