package alert

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"time"
)

// Delivery is one message to one target.
type Delivery struct {
	ID      string // 16 hexadecimal digits; the same for another attempt with the same content
	Target  Target
	Kind    Kind
	Alerts  []Alert // the gravest first, each with Why and Told
	Attempt int     // from 1
	At      time.Time
}

// sending is what the book knows of a target.
type sending struct {
	delivery *Delivery     // on its way; nil: none
	needs    []need        // of the delivery
	failures int           // in a row, not counting refusals
	partly   bool          // the last delivery reached only some of those it was for
	asked    time.Duration // for which it wants to be left alone
	reason   string        // of the last failure
	since    time.Time     // of the first of them
	last     time.Time     // of the last
}

// Due returns what is to be sent at an instant, at most one delivery for each
// target. Each must be given back by [Book.Delivered]; until then the target gets
// no other.
func (b *Book) Due(at time.Time) []Delivery {
	b.turn(at)
	_ = b.save(at) // that it cannot be is a finding by now
	if b.known && (b.next.IsZero() || at.Before(b.next)) {
		return nil
	}
	ready, next := b.plan(at)
	b.next, b.known = next, true
	var out []Delivery
	for _, t := range sortedKeys(ready) {
		out = append(out, b.deliver(t, ready[t], at))
	}
	return out
}

// Next returns when Due has to be asked again if nothing else happens before; the
// zero time if never.
func (b *Book) Next() time.Time {
	if !b.known {
		at := b.clock.Now()
		b.turn(at)
		ready, next := b.plan(at)
		if len(ready) > 0 {
			return at
		}
		b.next, b.known = next, true
	}
	return b.next
}

// plan lists what is ready to be sent to whom, and when there is next something
// to be done.
func (b *Book) plan(at time.Time) (ready map[Target][]need, next time.Time) {
	all := map[Target][]need{}
	sooner := func(t time.Time) {
		if next.IsZero() || t.Before(next) {
			next = t
		}
	}
	for _, e := range b.entries {
		if e.Cleared.IsZero() && !e.Gone.IsZero() {
			sooner(e.Gone.Add(e.calm(b.settings.Calm, e.Gone)))
		}
		b.needs(e, at, func(t Target, n need) {
			if s := b.targets[t]; s == nil || s.delivery == nil {
				all[t] = append(all[t], n)
			}
		})
	}
	ready = map[Target][]need{}
	for t, needs := range all {
		needs = once(needs)
		from := b.from(t)
		slices.SortStableFunc(needs, func(a, b need) int { return compare(&a.entry.Alert, &b.entry.Alert) })
		now := chosen(needs, at)
		if len(now) > 0 && !from.After(at) {
			ready[t] = now
			continue
		}
		for _, n := range needs {
			sooner(later(n.ready, from))
		}
	}
	return ready, next
}

// once keeps one need for each alert: the weightiest of those that are ready
// first.
func once(needs []need) []need {
	at := make(map[*entry]int, len(needs))
	out := needs[:0]
	for _, n := range needs {
		i, twice := at[n.entry]
		if !twice {
			at[n.entry] = len(out)
			out = append(out, n)
			continue
		}
		if c := cmp.Or(n.ready.Compare(out[i].ready), weight(out[i].why)-weight(n.why)); c < 0 {
			out[i] = n
		}
	}
	return out
}

// weight orders what is told of one alert, and what names a delivery.
func weight(k Kind) int {
	switch k {
	case KindEscalation:
		return 4
	case KindRaised:
		return 3
	case KindReminder:
		return 2
	case KindCleared:
		return 1
	case KindDigest, KindTest:
	}
	return 0
}

// chosen returns what goes in one delivery now: nothing unless one need is ready,
// then all that may go along, or one alone that was refused before.
func chosen(needs []need, at time.Time) []need {
	var out []need
	ready := false
	for _, n := range needs {
		if n.alone || n.ripe.After(at) {
			continue
		}
		ready = ready || !n.ready.After(at)
		out = append(out, n)
	}
	if ready {
		return out
	}
	for _, n := range needs {
		if n.alone && !n.ready.After(at) {
			return []need{n}
		}
	}
	return nil
}

// deliver makes the delivery of what was chosen.
func (b *Book) deliver(t Target, needs []need, at time.Time) Delivery {
	s := b.targets[t]
	if s == nil {
		s = &sending{}
		b.targets[t] = s
	}
	d := Delivery{Target: t, Kind: needs[0].why, Attempt: s.failures + 1, At: at}
	sum := sha256.New()
	sum.Write(fmt.Appendf(nil, "%s\n", t))
	for _, n := range needs {
		a := n.entry.Alert
		a.Why, a.Told = n.why, n.told
		d.Alerts = append(d.Alerts, a)
		if weight(n.why) > weight(d.Kind) && d.Kind != KindDigest {
			d.Kind = n.why
		}
		if n.held {
			d.Kind = KindDigest
		}
		if n.alone {
			d.Attempt = n.entry.refused[t].count + 1
		}
		last := n.entry.repeated[t]
		if n.told != nil {
			last = later(last, n.told.At)
		}
		sum.Write(fmt.Appendf(nil, "%s %s %s %d\n", a.ID, n.why, a.Severity, last.UnixNano()))
	}
	d.ID = hex.EncodeToString(sum.Sum(nil)[:8])
	kept := d
	s.delivery, s.needs = &kept, needs
	return d
}

func sortedKeys[V any](m map[Target]V) []Target {
	out := make([]Target, 0, len(m))
	for t := range m {
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b Target) int {
		return cmp.Or(cmp.Compare(a.Channel, b.Channel), cmp.Compare(a.Person, b.Person))
	})
	return out
}

func (b *Book) sortedTargets() []Target { return sortedKeys(b.targets) }
