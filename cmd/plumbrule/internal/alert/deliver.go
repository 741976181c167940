package alert

import (
	"errors"
	"hash/fnv"
	"time"
)

// How long is waited after failures: twice as long each time.
const (
	firstWait   = 5 * time.Second
	longestWait = 15 * time.Minute

	firstRefusedWait   = 15 * time.Minute
	longestRefusedWait = 6 * time.Hour
)

// Delivered says what came of a delivery: nil, or why it could not be made. An
// error with a method Temporary() bool that returns false is a refusal: the same
// message would be refused again, so others go before it. Every other error is
// one of the way, which is tried again soon; a method RetryAfter() time.Duration
// says when at the earliest. Neither is ever given up while the alert stands.
//
// A refusal with a method Partial() bool that returns true reached some of those
// it was for, and is not made again: they would have it twice. That the others do
// not get it is an alert of its own.
func (b *Book) Delivered(d Delivery, err error) {
	s := b.targets[d.Target]
	if s == nil || s.delivery == nil || s.delivery.ID != d.ID {
		return // was given back before
	}
	at := b.clock.Now()
	b.turn(at)
	sent, needs := *s.delivery, s.needs
	s.delivery, s.needs, b.known = nil, nil, false
	switch {
	case err == nil:
		b.noted(&sent, needs, at)
		s.failures, s.partly = 0, false
	case refuses(err) && partial(err):
		b.noted(&sent, needs, at)
		if s.failures == 0 && !s.partly {
			s.since = at
		}
		s.failures, s.partly, s.reason, s.last = 0, true, short(err.Error()), at
	case refuses(err):
		refused := b.refusing(d.Target)
		for _, n := range needs {
			if n.entry.refused == nil {
				n.entry.refused = map[Target]refusal{}
			}
			n.entry.refused[d.Target] = refusal{count: n.entry.refused[d.Target].count + 1, last: at}
		}
		if s.failures == 0 && !refused {
			s.since = at
		}
		s.failures, s.reason, s.last = 0, short(err.Error()), at
	default:
		if s.failures == 0 {
			s.since = at
		}
		s.failures, s.reason, s.last, s.asked = s.failures+1, short(err.Error()), at, asked(err)
	}
	b.judgeChannel(at, d.Target.Channel)
	_ = b.save(at) // that it cannot be is a finding by now
}

// noted writes down what the reader knows now.
func (b *Book) noted(d *Delivery, needs []need, at time.Time) {
	for i, n := range needs {
		a := &d.Alerts[i]
		delete(n.entry.refused, d.Target)
		if n.repeat && n.told.Severity == a.Severity {
			n.entry.repeat(d.Target, at)
			continue
		}
		told := Told{At: at, Severity: a.Severity, Sentence: a.Sentence, Cleared: n.why == KindCleared}
		if n.told != nil {
			told.Escalated = n.told.Escalated
		}
		if n.why == KindEscalation {
			told.Escalated = a.Severity
		}
		n.entry.tell(d.Target, told)
	}
}

// refusing tells whether a target is still to be told of an alert that it did not
// want when it was tried last.
func (b *Book) refusing(t Target) bool {
	for _, e := range b.entries {
		if _, ok := e.refused[t]; !ok {
			continue
		}
		owed := false
		b.needs(e, b.seen, func(to Target, _ need) { owed = owed || to == t })
		if owed {
			return true
		}
		delete(e.refused, t)
	}
	return false
}

func refuses(err error) bool {
	var kind interface{ Temporary() bool }
	return errors.As(err, &kind) && !kind.Temporary()
}

func partial(err error) bool {
	var kind interface{ Partial() bool }
	return errors.As(err, &kind) && kind.Partial()
}

// asked returns how long a receiver asks to be left alone, within bounds.
func asked(err error) time.Duration {
	var kind interface{ RetryAfter() time.Duration }
	if errors.As(err, &kind) {
		return min(kind.RetryAfter(), longestRefusedWait)
	}
	return 0
}

// from returns when a target may be tried again after failures of the way.
func (b *Book) from(t Target) time.Time {
	s := b.targets[t]
	if s == nil || s.failures == 0 {
		return time.Time{}
	}
	return s.last.Add(max(jittered(doubled(firstWait, longestWait, s.failures), t, s.failures), s.asked))
}

func refusedWait(count int) time.Duration {
	return doubled(firstRefusedWait, longestRefusedWait, count)
}

// doubled is the wait after so many failures in a row.
func doubled(first, longest time.Duration, failures int) time.Duration {
	for ; failures > 1 && first < longest; failures-- {
		first *= 2
	}
	return min(first, longest)
}

// jittered takes up to a quarter off a wait, by the target and the attempt, so
// that what failed together does not come back together, and tests can be
// repeated.
func jittered(wait time.Duration, t Target, attempt int) time.Duration {
	h := fnv.New32a()
	_, _ = h.Write([]byte(t.String()))
	_, _ = h.Write([]byte{byte(attempt), byte(attempt >> 8)})
	return wait - wait/4*time.Duration(h.Sum32()%1000)/1000
}
