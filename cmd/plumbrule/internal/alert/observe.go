package alert

import (
	"slices"
	"strings"
	"time"
)

// Observe compares what stands at an instant with what stood before: all of it,
// since what is not among the findings is taken to be gone. Who cannot tell what
// stands calls [Book.Also]. Findings with one key become one, with the gravest
// severity and all sentences.
//
// An error says that the journal cannot be written; the book knows all the same,
// and what it knows is written when that is possible again.
func (b *Book) Observe(at time.Time, findings []Finding) error { return b.observe(at, findings, true) }

// Also takes note of findings that stand beside whatever else does, as long as
// that cannot be told: the records are away, or their settings cannot be read. It
// is like Observe, but nothing is taken to be gone.
func (b *Book) Also(at time.Time, findings []Finding) error { return b.observe(at, findings, false) }

func (b *Book) observe(at time.Time, findings []Finding, all bool) error {
	b.turn(at)
	now := make(map[Key]Finding, len(findings)+len(b.own))
	order := make([]Key, 0, len(findings)+len(b.own))
	for _, f := range findings {
		f = tidy(f)
		if f.Subject == Watcher && ownCode(f.Code) {
			continue // the book's own affair
		}
		if other, twice := now[f.Key]; twice {
			f = merged(other, f)
		} else {
			order = append(order, f.Key)
		}
		now[f.Key] = f
	}
	for _, key := range order {
		b.found(at, now[key])
	}
	for key, e := range b.current {
		if _, stands := now[key]; all && !stands && (key.Subject != Watcher || !ownCode(key.Code)) {
			b.missed(at, e)
		}
	}
	return b.save(at)
}

// merged makes one finding of two with the same key.
func merged(a, b Finding) Finding {
	if Rank(b.Severity) > Rank(a.Severity) {
		a, b = b, a
	}
	if !slices.Contains(strings.Split(a.Sentence, "; "), b.Sentence) {
		a.Sentence = short(a.Sentence + "; " + b.Sentence)
	}
	for _, s := range b.Sources {
		if !slices.Contains(a.Sources, s) && len(a.Sources) < mostSources {
			a.Sources = append(a.Sources, s)
		}
	}
	return a
}

// found takes note that a finding stands.
func (b *Book) found(at time.Time, f Finding) {
	e := b.current[f.Key]
	if e == nil {
		b.raise(at, f)
		return
	}
	if !e.Gone.IsZero() {
		e.Gone, e.unsaved, b.known = time.Time{}, true, false
		e.came(at)
	}
	if e.Severity == f.Severity && e.Sentence == f.Sentence {
		if e.Mend == f.Mend && e.Kind == f.Kind && e.Place == f.Place && slices.Equal(e.Sources, f.Sources) {
			return
		}
	} else {
		e.Changed = at
	}
	if Rank(f.Severity) > Rank(e.Severity) {
		e.Since = at
	}
	e.Finding, e.unsaved, b.known = f, true, false
	e.aim(&b.settings)
}

// raise makes a new alert. One that had been cleared within the last day is its
// predecessor: it counts as a return.
func (b *Book) raise(at time.Time, f Finding) {
	e := &entry{Alert: Alert{Finding: f, Raised: at, Since: at, Changed: at}, unsaved: true}
	for n := 0; e.ID == "" || b.ids[e.ID]; n++ {
		e.ID = newID(f.Key, at, n)
	}
	if old := b.latest[f.Key]; old != nil && at.Sub(old.Cleared) <= 24*time.Hour {
		e.Returns, e.Returned = old.Returns, old.Returned
		e.came(at)
	}
	e.aim(&b.settings)
	b.entries, b.known = append(b.entries, e), false
	b.current[f.Key], b.latest[f.Key], b.ids[e.ID] = e, e, true
}

// missed takes note that a finding does not stand any more.
func (b *Book) missed(at time.Time, e *entry) {
	if e.Gone.IsZero() {
		e.Gone, e.unsaved, b.known = at, true, false
	}
}

// turn brings the book to an instant: what has been gone long enough is cleared,
// and where the clock was put back nothing lies in the future.
func (b *Book) turn(at time.Time) {
	if at.Before(b.seen) {
		b.rebase(at)
	}
	b.seen = at
	for key, e := range b.current {
		if e.Gone.IsZero() {
			continue
		}
		if end := e.Gone.Add(e.calm(b.settings.Calm, e.Gone)); !at.Before(end) {
			e.clear(end)
			delete(b.current, key)
			b.known = false
		}
	}
	for key := range b.own {
		if key.Code == channelFailing {
			b.judgeChannel(at, key.About) // what it did not want may not be owed any more
		}
	}
}

// rebase brings every time that lies after at to at. A clock that was put back
// would hold back what is due until it has caught up.
func (b *Book) rebase(at time.Time) {
	for _, e := range b.entries {
		e.stamps(func(t *time.Time) {
			if t.After(at) {
				*t, e.unsaved = at, true
			}
		})
	}
	for _, s := range b.targets {
		if s.last.After(at) {
			s.last = at
		}
		if s.since.After(at) {
			s.since = at
		}
	}
	b.known = false
}
