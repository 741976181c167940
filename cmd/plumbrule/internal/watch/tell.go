package watch

import (
	"time"

	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
)

// tell begins to send what is due.
func (w *Watcher) tell(now time.Time) {
	deliveries := w.book.Due(now)
	if len(deliveries) > 0 {
		w.Outlets.Send(deliveries)
	}
}

// came takes note of what came of a delivery.
func (w *Watcher) came(r dispatch.Result) {
	if r.Beat {
		if r.Err == nil {
			w.Fault(heartbeatFailing, "", "", "")
			return
		}
		w.Fault(heartbeatFailing, "", "the sign of life could not be given: "+r.Err.Error(),
			"look at the channel that heartbeat names in plumbrule.toml; whoever waits for the sign believes the watcher dead")
		return
	}
	w.book.Delivered(r.Delivery, r.Err)
	if r.Err != nil {
		w.Log.Warn("a message could not be delivered", "to", r.Delivery.Target.String(), "attempt", r.Delivery.Attempt, "error", r.Err)
	}
	w.unshown = true
}

// beat gives a sign of life, when it is time to and the answers are not older than they may be.
func (w *Watcher) beat(now time.Time) {
	settings := w.watchSettings()
	if settings.Heartbeat == "" || w.outcome == nil || !due(&w.at.beat, now, settings.HeartbeatTime()) {
		return
	}
	// Two signs may be lost before silence means something.
	w.Outlets.Beat(now, now.Add(3*settings.HeartbeatTime()))
}

// requests does what other programs ask by files in the state directory.
func (w *Watcher) requests(now time.Time) {
	w.relock()
	answers := w.book.Requests(w.State, now)
	for _, err := range answers {
		if err != nil {
			w.note("an alert could not be acknowledged: " + err.Error())
		}
	}
	if len(answers) > 0 {
		w.unshown = true
	}
}

// leave ends what is being sent and taken in. What is not done then is done after the next start.
func (w *Watcher) leave() {
	close(w.left)
	w.Outlets.Close()
	for open := true; open; {
		select {
		case r := <-w.Outlets.Results():
			w.came(r)
		default:
			open = false
		}
	}
	if w.taken != nil {
		select {
		case t := <-w.taken:
			w.tookIn(t)
		case <-w.Clock.After(lastWords):
		}
	}
}

// lastWords is how long is waited at the end for a check that is being taken in.
const lastWords = time.Second

// relock takes the lock of a state directory anew that was removed or replaced.
func (w *Watcher) relock() {
	if w.Lock == nil {
		return
	}
	lost, err := w.Lock.Again()
	switch {
	case err != nil:
		w.Fault(stateLost, "", "the state directory was removed or replaced, and cannot be locked again: "+err.Error(),
			"see to it that one watcher alone uses it; what is told may be told twice until then")
	case lost:
		w.note("the state directory was removed or replaced, and is made anew")
		w.Fault(stateLost, "", "", "")
	}
}
