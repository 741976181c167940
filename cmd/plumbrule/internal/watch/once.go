package watch

import (
	"context"
	"time"

	"plumbrule/cmd/plumbrule/internal/alert/dispatch"
)

// onceLimit bounds a single look: messages that are gathered for longer, or held until quiet hours end, and what could not be delivered in that
// time are left to the next look.
const onceLimit = 90 * time.Second

// Summary is what a single look has come to.
type Summary struct {
	Outcome *Outcome
	Failed  []dispatch.Result // deliveries
}

// Once looks once: takes in, forms the answers, tells who is concerned. Open comes before.
func (w *Watcher) Once(ctx context.Context) Summary {
	var s Summary
	show := w.Show
	w.Show = func(o *Outcome) {
		s.Outcome = o
		if show != nil {
			show(o)
		}
	}
	w.begin(ctx)
	start := w.Clock.Now()
	under := 0 // deliveries on their way
	first := true
	for ctx.Err() == nil {
		now := w.Clock.Now()
		if first {
			w.rescan(now)
			first = false
		}
		if next := w.evaluator.Next(); w.stale || !next.IsZero() && !now.Before(next) {
			w.evaluate(now)
		}
		w.look(now)
		if w.taken == nil && !w.stale {
			deliveries := w.book.Due(now)
			under += len(deliveries)
			if len(deliveries) > 0 {
				w.Outlets.Send(deliveries)
			}
		}
		next := w.later(now)
		if under == 0 && w.taken == nil && !w.stale && (next.IsZero() || next.Sub(start) > onceLimit) {
			break
		}
		if now.Sub(start) > onceLimit {
			break
		}
		wait := longestWait
		if !next.IsZero() {
			wait = min(wait, max(next.Sub(now), time.Millisecond))
		}
		select { // what is there already goes before the clock
		case r := <-w.Outlets.Results():
			under -= s.count(r)
			w.came(r)
			continue
		default:
		}
		select {
		case <-ctx.Done():
		case r := <-w.Outlets.Results():
			under -= s.count(r)
			w.came(r)
		case q := <-w.trials:
			w.tried(q)
		case t := <-w.taken:
			w.tookIn(t)
		case <-w.Clock.After(wait):
		}
	}
	now := w.Clock.Now()
	w.beat(now)
	w.leave()
	w.show()
	return s
}

// count takes note of what came of a delivery, and returns how many that were: a sign of life is none.
func (s *Summary) count(r dispatch.Result) int {
	if r.Beat {
		return 0
	}
	if r.Err != nil {
		s.Failed = append(s.Failed, r)
	}
	return 1
}

// later returns when there will be something to do; zero for nothing. What is told in quiet hours' time does not count.
func (w *Watcher) later(now time.Time) time.Time {
	next := w.book.Next()
	if w.Drops != nil && w.at.inbox.After(now) && len(w.taking.Waiting) > 0 && (next.IsZero() || w.at.inbox.Before(next)) {
		next = w.at.inbox
	}
	return next
}
