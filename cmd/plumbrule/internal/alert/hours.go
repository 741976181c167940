package alert

import (
	"slices"
	"time"

	"plumbrule/records/quantity"
)

// window says when a reader may be told.
type window struct {
	zone *time.Location
	in   [][]quantity.Hours // lists of hours, in one of each of which it must be
	out  []quantity.Hours   // in none of which it may be
}

// window returns when a target may be told of something of that severity by a
// route; the route is nil for what follows from what was told before.
func (s *Settings) window(t Target, r *Route, severity string) window {
	w := window{zone: s.Zone}
	if w.zone == nil {
		w.zone = time.UTC
	}
	if r != nil && len(r.Hours) > 0 {
		w.in = append(w.in, r.Hours)
	}
	if r != nil && r.AnyHour || s.Urgent != "" && Rank(severity) >= Rank(s.Urgent) {
		return w
	}
	if own := s.Working[t.Person]; t.Person != "" && len(own) > 0 {
		w.in = append(w.in, own)
	}
	w.out = s.Quiet
	return w
}

// always tells whether there is no hour in which it is closed.
func (w *window) always() bool { return len(w.in) == 0 && len(w.out) == 0 }

// open tells whether the reader may be told at that instant.
func (w *window) open(at time.Time) bool {
	if w.always() {
		return true
	}
	local := at.In(w.zone)
	day, minute := local.Weekday(), local.Hour()*60+local.Minute()
	for _, list := range w.in {
		if !within(list, day, minute) {
			return false
		}
	}
	return !within(w.out, day, minute)
}

// within tells whether a minute of the week, by the clock on the wall, lies in
// one of the hours.
func within(list []quantity.Hours, day time.Weekday, minute int) bool {
	return slices.ContainsFunc(list, func(h quantity.Hours) bool {
		begin, end := h.Minutes()
		if begin < end {
			return h.On(day) && begin <= minute && minute < end
		}
		return h.On(day) && begin <= minute || h.On((day+6)%7) && minute < end
	})
}

// next returns the first instant, from at on, at which the window is open. One
// that is never open in eight days holds nothing back: settings that contradict
// each other must not silence an alert.
func (w *window) next(at time.Time) time.Time {
	if w.open(at) {
		return at
	}
	for _, change := range w.changes(at) {
		if w.open(change) {
			return change
		}
	}
	return at
}

// changes lists the instants after at, of the eight days to come, at which the
// window may open, in order. By the clock on the wall that can only be where hours
// begin or end, and where the clock is put forward or back. A time of day that
// comes twice is listed twice.
func (w *window) changes(at time.Time) []time.Time {
	var out []time.Time
	add := func(t time.Time) {
		if t.After(at) {
			out = append(out, t)
		}
	}
	minutes := w.minutes()
	local := at.In(w.zone)
	for day := range 9 {
		noon := time.Date(local.Year(), local.Month(), local.Day()+day, 12, 0, 0, 0, w.zone)
		_, change := noon.Add(-24 * time.Hour).ZoneBounds()
		if !change.IsZero() {
			add(change)
		}
		midnight := time.Date(local.Year(), local.Month(), local.Day()+day, 0, 0, 0, 0, time.UTC)
		for _, m := range minutes {
			for _, near := range []time.Time{noon.Add(-24 * time.Hour), noon.Add(24 * time.Hour)} {
				_, offset := near.Zone()
				add(midnight.Add(time.Duration(m)*time.Minute - time.Duration(offset)*time.Second))
			}
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return out
}

// minutes lists the minutes of the day at which hours begin or end.
func (w *window) minutes() []int {
	var out []int
	for _, list := range append(slices.Clone(w.in), w.out) {
		for _, h := range list {
			begin, end := h.Minutes()
			out = append(out, begin, end)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
