package watch

import (
	"slices"
	"time"
)

// How changes are gathered before anybody is told.
const (
	// storm is the number of changed files from which everything is looked through at once: a checkout, a copy.
	storm = 500
	// patience is how long a file that is written again and again can hold up the others.
	patience = 5 * time.Second
	// gitPatience is how long git may be at work before what is there is looked at all the same.
	gitPatience = time.Minute
)

// Batch is what has changed and come to rest.
type Batch struct {
	Paths []string // slash-separated, below the root, sorted
	All   bool     // anything may have changed
	Notes []string // what went on besides, whole sentences
}

// pending gathers changes until they have come to rest.
type pending struct {
	settle time.Duration
	seen   map[string]time.Time // when a path changed last
	first  time.Time            // when the oldest change that still waits came
	all    bool
	notes  []string
}

func newPending(settle time.Duration) *pending {
	return &pending{settle: settle, seen: map[string]time.Time{}}
}

func (p *pending) change(path string, at time.Time) {
	if p.empty() {
		p.first = at
	}
	p.seen[path] = at
	if len(p.seen) > storm {
		p.everything(at)
	}
}

// everything forgets the single paths: all is to be looked through once the storm is over.
func (p *pending) everything(at time.Time) {
	if p.empty() {
		p.first = at
	}
	p.all = true
	last := at
	for _, t := range p.seen {
		if t.After(last) {
			last = t
		}
	}
	clear(p.seen)
	p.seen["."] = last
}

func (p *pending) note(text string) {
	if !slices.Contains(p.notes, text) {
		p.notes = append(p.notes, text)
	}
}

func (p *pending) empty() bool { return len(p.seen) == 0 && !p.all }

// due returns when something will have come to rest; false: nothing waits.
func (p *pending) due() (time.Time, bool) {
	if p.empty() {
		return time.Time{}, false
	}
	var at time.Time
	for _, t := range p.seen {
		rest := t.Add(p.settle)
		if p.all { // all wait for the last
			if rest.After(at) {
				at = rest
			}
			continue
		}
		if at.IsZero() || rest.Before(at) {
			at = rest
		}
	}
	if limit := p.first.Add(patience); at.IsZero() || limit.Before(at) {
		at = limit
	}
	return at, true
}

// take returns what has come to rest at an instant, and forgets it. A clock that was set back would make files look as if
// they had changed in the future; those have come to rest as well.
func (p *pending) take(at time.Time) (Batch, bool) {
	b := Batch{All: p.all, Notes: p.notes}
	late := at.Sub(p.first) >= patience
	youngest := time.Time{}
	for path, t := range p.seen {
		if t.After(youngest) {
			youngest = t
		}
		if rested := at.Sub(t) >= p.settle || t.After(at); rested && !p.all {
			b.Paths = append(b.Paths, path)
		}
	}
	if p.all {
		if at.Sub(youngest) < p.settle && !late {
			return Batch{}, false
		}
		clear(p.seen)
		p.all, p.notes = false, nil
		return b, true
	}
	for _, path := range b.Paths {
		delete(p.seen, path)
	}
	if len(b.Paths) == 0 && len(b.Notes) == 0 {
		if late { // still being written: whoever reads it now may see half, and will see the rest later
			p.first = at
		}
		return Batch{}, false
	}
	p.first = at
	for _, t := range p.seen {
		if t.Before(p.first) {
			p.first = t
		}
	}
	p.notes = nil
	slices.Sort(b.Paths)
	return b, true
}
