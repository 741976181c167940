package alert

import (
	"errors"
	"slices"
	"time"
)

// Clock tells the time of day, which may step.
type Clock interface {
	Now() time.Time
}

// Book is the memory of alerts: what stands, who was told of what, and what is
// on its way. It is for one goroutine at a time.
type Book struct {
	clock    Clock
	settings Settings
	journal  *journal

	entries []*entry       // in the order in which they were raised
	current map[Key]*entry // those that are not cleared
	latest  map[Key]*entry // the last one raised of each key
	ids     map[string]bool
	own     map[Key]Finding
	targets map[Target]*sending
	seen    time.Time // the latest time the book has heard of

	next  time.Time
	known bool // next is
	notes []string
}

// Open reads the book from its state directory, which is made if it is not
// there. A journal that is damaged is used as far as it can be read, and
// [Book.Notes] says so; only one that is there and cannot be read at all is an
// error, since everything would be told again.
func Open(dir string, clock Clock, settings Settings) (*Book, error) {
	return open(directory(dir), clock, settings)
}

func open(f folder, clock Clock, settings Settings) (*Book, error) {
	if clock == nil {
		return nil, errors.New("a book of alerts needs a clock")
	}
	j, entries, err := readJournal(f)
	if err != nil {
		return nil, err
	}
	b := &Book{
		clock: clock, journal: j, entries: entries, notes: j.notes,
		current: map[Key]*entry{}, latest: map[Key]*entry{}, ids: map[string]bool{}, own: map[Key]Finding{}, targets: map[Target]*sending{},
	}
	for _, e := range b.entries {
		e.stamps(func(t *time.Time) { b.seen = later(b.seen, *t) })
		b.latest[e.Key], b.ids[e.ID] = e, true
		if !e.Cleared.IsZero() {
			continue
		}
		if older := b.current[e.Key]; older != nil {
			older.supersede(e.Raised)
		}
		b.current[e.Key] = e
		if e.Subject == Watcher && ownCode(e.Code) {
			// What failed before may be in order now; it clears unless it fails again.
			b.missed(clock.Now(), e)
		}
	}
	b.Configure(settings)
	return b, nil
}

// supersede ends an alert of which another with the same key is known: a line of
// the journal between the two was lost. Nobody is told: for the reader it is one.
func (e *entry) supersede(at time.Time) {
	e.Cleared, e.unsaved = at, true
	for t, told := range e.Ledger {
		over := *told
		over.Cleared = true
		e.tell(t, over)
	}
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// Configure gives the book other settings. Who then is to be told of what stands
// already is told; who is not any more is not. What failed or was refused is tried
// at once: the settings, or a secret they point at, may be mended.
func (b *Book) Configure(settings Settings) {
	b.settings, b.known = settings, false
	for _, s := range b.targets {
		s.last, s.asked = time.Time{}, 0
	}
	for _, e := range b.entries {
		e.aim(&b.settings)
		for t, r := range e.refused {
			r.last = time.Time{}
			e.refused[t] = r
		}
	}
	for key := range b.own {
		if key.Code == channelFailing {
			b.judgeChannel(b.seen, key.About)
		}
	}
}

// Alerts lists what stands, the gravest first, and then what was cleared of
// late.
func (b *Book) Alerts() []Alert {
	out := make([]Alert, len(b.entries))
	for i, e := range b.entries {
		out[i] = e.Alert
	}
	sortAlerts(out)
	return out
}

// Notes says what was found amiss when the journal was read, in sentences
// without full stop.
func (b *Book) Notes() []string { return slices.Clone(b.notes) }

// Close lets go of the journal. What could not be written stays unwritten.
func (b *Book) Close() error { return b.journal.close() }
