package alert

import "time"

// need is one thing that a target is to be told.
type need struct {
	entry *entry
	why   Kind
	told  *Told
	ripe  time.Time // from when on it may go along with others
	ready time.Time // from when on it asks for a delivery
	held  bool      // it came while the reader was not to be told
	alone bool      // it was refused: it goes by itself, to hold up no other

	repeat bool // it repeats what the target knows, which is not worth a line in the journal
}

// needs lists what has to be told of an alert to each target, at an instant.
func (b *Book) needs(e *entry, at time.Time, add func(Target, need)) {
	if !e.Cleared.IsZero() {
		for t, told := range e.Ledger {
			if !told.Cleared && b.settings.known(t) {
				b.clearing(e, t, at, add)
			}
		}
		return
	}
	acknowledged := e.State() == Acknowledged
	for i, a := range e.aims {
		told := e.told(a.target)
		switch {
		case told == nil, Rank(e.Severity) > Rank(told.Severity) && e.Gone.IsZero():
			b.fresh(e, a, KindRaised, e.Since, at, told, add)
		case a.route.Repeat:
			b.repeating(e, a, at, told, add)
		case a.route.Remind > 0 && !acknowledged && e.Gone.IsZero():
			b.again(need{entry: e, told: told}, a, told.At, a.route.Remind, at, add)
		}
		if a.route.EscalateAfter > 0 && !acknowledged && e.Gone.IsZero() && firstOf(e.aims, i) {
			b.escalating(e, a, at, add)
		}
	}
}

// firstOf tells whether no aim before stands for the same route.
func firstOf(aims []aim, i int) bool { return i == 0 || aims[i-1].route != aims[i].route }

// clearing is the need to tell that an alert is cleared. Who was told nothing
// learns of both at once, in the time that was due for the first.
func (b *Book) clearing(e *entry, t Target, at time.Time, add func(Target, need)) {
	a, since, told := aim{target: t}, e.Cleared, e.told(t)
	for _, known := range e.aims {
		if known.target == t {
			a = known
			break
		}
	}
	if told.At.IsZero() {
		since, told = e.Since, nil
	}
	b.fresh(e, a, KindCleared, since, at, told, add)
}

// fresh is the need to tell something new: it is gathered with others, and held
// while the reader is not to be told.
func (b *Book) fresh(e *entry, a aim, why Kind, since, at time.Time, told *Told, add func(Target, need)) {
	w := b.settings.window(a.target, a.route, e.Severity)
	n := need{entry: e, why: why, told: told, ripe: w.next(since)}
	n.held = n.ripe.After(since)
	n.ready = n.ripe
	if a.route != nil && a.route.Group > 0 {
		if gathered := since.Add(a.route.Group); gathered.After(n.ripe) && w.open(gathered) {
			n.ready = gathered
		}
	}
	b.when(&n, &w, a.target, at)
	add(a.target, n)
}

// repeating is the need of a target that forgets what it is not told again. That
// something has become less grave, or was acknowledged, it is told at once.
func (b *Book) repeating(e *entry, a aim, at time.Time, told *Told, add func(Target, need)) {
	n, every := need{entry: e, told: told, repeat: true}, RepeatTime
	last := later(told.At, e.repeated[a.target])
	if k := e.Acknowledged; told.Severity != e.Severity || k != nil && k.At.After(last) {
		every = 0
	}
	b.again(n, a, last, every, at, add)
}

// again is the need to say once more what was said last at some time. It goes
// along with other reminders when half its time has passed, so that they come
// together.
func (b *Book) again(n need, a aim, last time.Time, every time.Duration, at time.Time, add func(Target, need)) {
	n.why, n.ripe, n.ready = KindReminder, last.Add(every/2), last.Add(every)
	if !at.Before(n.ripe) {
		w := b.settings.window(a.target, a.route, n.entry.Severity)
		b.when(&n, &w, a.target, at)
	}
	add(a.target, n)
}

// escalating is the need to tell others, once somebody could have been told for
// long enough.
func (b *Book) escalating(e *entry, a aim, at time.Time, add func(Target, need)) {
	w := b.settings.window(a.target, a.route, e.Severity)
	since := w.next(e.Since).Add(a.route.EscalateAfter)
	for _, t := range a.route.EscalateTo {
		told := e.told(t)
		if told != nil && told.Escalated != "" && Rank(told.Escalated) >= Rank(e.Severity) {
			continue
		}
		w := b.settings.window(t, &Route{AnyHour: a.route.AnyHour}, e.Severity)
		n := need{entry: e, why: KindEscalation, told: told, ripe: since, ready: since}
		b.when(&n, &w, t, at)
		add(t, n)
	}
}

// when puts a need off to an hour in which the reader may be told, and to the
// next attempt where it was refused before.
func (b *Book) when(n *need, w *window, t Target, at time.Time) {
	if r, refused := n.entry.refused[t]; refused {
		n.alone = true
		n.ripe = later(n.ripe, r.last.Add(refusedWait(r.count)))
	}
	n.ripe = w.next(later(n.ripe, at))
	n.ready = later(n.ready, n.ripe)
	n.ready = w.next(n.ready)
}
