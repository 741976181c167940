package rules

import (
	"time"

	"plumbrule/records/calendar"
)

// turn is the first day or instant at which a conclusion can change although no
// record does. Every comparison with today or with the instant evaluated goes
// through a method here, which notes when it will come out otherwise: what was
// not asked cannot change anything.
type turn struct {
	day     calendar.Date // with its beginning; zero: none
	instant time.Time     // zero: none
}

func (t *turn) noteDay(day calendar.Date) {
	if t.day.IsZero() || day.Before(t.day) {
		t.day = day
	}
}

func (t *turn) note(instant time.Time) {
	if t.instant.IsZero() || instant.Before(t.instant) {
		t.instant = instant
	}
}

// apart returns the context with a turn of its own.
func (c *context) apart() *context {
	own := *c
	own.turn = &turn{}
	return &own
}

// come reports whether an instant has come.
func (c *context) come(t time.Time) bool {
	if !t.After(c.at) {
		return true
	}
	c.turn.note(t)
	return false
}

// reached reports whether a day has begun.
func (c *context) reached(day calendar.Date) bool {
	if !day.After(c.today) {
		return true
	}
	c.turn.noteDay(day)
	return false
}

// over reports whether a day has ended.
func (c *context) over(day calendar.Date) bool {
	if c.today.After(day) {
		return true
	}
	c.turn.noteDay(day.AddDays(1))
	return false
}

// dayByDay returns today, for what changes with every day.
func (c *context) dayByDay() calendar.Date {
	c.turn.noteDay(c.today.AddDays(1))
	return c.today
}

// unevenness is by how many days a calendar interval, counted from one day, can
// be longer than counted from another: February makes three, a leap day and the
// month's end taken for a missing day one more.
const unevenness = 4

// announced reports whether a due date is within its lead time, which in months
// is not always as long.
func (c *context) announced(date calendar.Date, lead func(calendar.Date) int) bool {
	within := func(day calendar.Date) bool { return day.DaysUntil(date) <= lead(day) }
	if within(c.today) {
		return true
	}
	day := date.AddDays(-lead(c.today) - unevenness)
	if !day.After(c.today) {
		day = c.today.AddDays(1)
	}
	for !within(day) {
		day = day.AddDays(1)
	}
	c.turn.noteDay(day)
	return false
}

// inForceNow returns the certificate in force at the instant.
func (c *context) inForceNow(list []accepted) *accepted {
	for i := range list {
		c.come(list[i].from)
	}
	return inForce(list, c.at)
}

// reliedOnUntil notes when it can change whether a check made now with an
// artifact would be evidence.
func (c *context) reliedOnUntil(a *artifact) {
	for i := range a.accepted {
		if last, passed := c.expiry(a, i, c.at); !passed && !last.IsZero() {
			c.over(last)
		}
	}
	for _, e := range a.events {
		c.come(later(e.Time, e.Entered)) // with hindsight it may come later
		if !e.Since.IsZero() {
			c.reached(e.Since)
		}
	}
}

// next returns the instant of a turn; zero: nothing changes by itself.
func (c *context) next(t turn) time.Time {
	out := t.instant
	if !t.day.IsZero() {
		if dawn := c.dawn(t.day); out.IsZero() || dawn.Before(out) {
			out = dawn
		}
	}
	return out
}

// dawn returns the first instant after the one evaluated at which a day that is
// not today has come, or an earlier one.
func (c *context) dawn(day calendar.Date) time.Time {
	if start := day.StartIn(c.zone); start.After(c.at) {
		return start
	}
	// The clock was set back to the day before after the day had begun: it begins again at the next midnight.
	local := c.at.In(c.zone)
	end := calendar.OffsetEnd(local)
	clock := time.Date(0, 1, 1, local.Hour(), local.Minute(), local.Second(), local.Nanosecond(), time.UTC)
	midnight := c.at.Add(time.Date(0, 1, 2, 0, 0, 0, 0, time.UTC).Sub(clock))
	if !end.IsZero() && end.Before(midnight) {
		return end
	}
	return midnight
}

// lastListedYear is the last year for which zones list when their clocks
// change; after it each year is like the one before.
const lastListedYear = 2037

// setBack returns the first instant after the one evaluated at which the local
// clock is set back into the day before, as it was in some zones that changed
// it a minute after midnight; zero: there is none. Days noted for later then
// come twice.
func (c *context) setBack() time.Time {
	local := c.at.In(c.zone)
	for last := max(lastListedYear, local.Year()) + 2; local.Year() <= last; {
		end := calendar.OffsetEnd(local)
		if end.IsZero() {
			break
		}
		if c.day(end).Before(c.day(end.Add(-1))) {
			return end
		}
		local = end.In(c.zone)
	}
	return time.Time{}
}
