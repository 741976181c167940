package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/due"
)

// period is the time from when something was done to when it is due again.
type period struct {
	of       string // "calibration" or a procedure
	began    time.Time
	anchor   calendar.Date // the day of began
	interval quantity.Interval
	away     int // days on which the clock stood still
}

// schedule is what events made of a period.
type schedule struct {
	interval  quantity.Interval
	planned   calendar.Date // before any extension
	date      calendar.Date // the last day on which it is not overdue
	extension *records.Event
	changes   []*records.Event // interval changes that count
	void      []voided
}

// voided is an event that does not put the date off, and why.
type voided struct {
	event *records.Event
	why   string
}

// dueAfter counts the due date. Days on which the clock stood still are added
// before the month's end is taken: the stop moves the day, not the policy.
func (c *context) dueAfter(p period, interval quantity.Interval) calendar.Date {
	date := due.Next(p.anchor, interval, 1, due.Day)
	if date.IsZero() {
		return date
	}
	date = date.AddDays(p.away)
	if c.until == due.MonthEnd && interval.Days == 0 {
		return date.MonthEnd()
	}
	return date
}

// schedule follows the events that move the end of a period, in the order of
// time. The due date is put off only by what was entered while it had not
// passed: an extension made before it, once, for a device that had not failed,
// or a longer interval. A shorter interval holds at once.
func (c *context) schedule(p period, events []*records.Event, failed func(time.Time) bool) schedule {
	s := schedule{interval: p.interval, planned: c.dueAfter(p, p.interval)}
	s.date = s.planned
	for _, e := range events {
		if e.Of != p.of || e.Kind != records.Extension && e.Kind != records.IntervalChange {
			continue
		}
		entered := later(e.Time, e.Entered)
		made := c.day(entered)
		if e.Kind == records.IntervalChange {
			next := c.dueAfter(p, e.Interval)
			if made.After(s.date) && next.After(s.date) {
				s.void = append(s.void, voided{e, fmt.Sprintf("it was made on %s, after the due date %s, and holds from the next time on", made, s.date)})
				continue
			}
			s.interval, s.planned = e.Interval, next
			s.changes = append(s.changes, e)
		} else {
			if entered.Before(p.began) {
				continue // for an earlier period
			}
			if why := s.refuse(e, made, entered, failed); why != "" {
				s.void = append(s.void, voided{e, why})
				continue
			}
			s.extension = e
		}
		s.date = s.planned
		if s.extension != nil && s.extension.Until.After(s.date) {
			s.date = s.extension.Until
		}
	}
	return s
}

// refuse says why an extension has no effect, or nothing.
func (s *schedule) refuse(e *records.Event, made calendar.Date, entered time.Time, failed func(time.Time) bool) string {
	switch {
	case made.After(s.date):
		return fmt.Sprintf("it was made on %s, after the due date %s", made, s.date)
	case s.extension != nil:
		return fmt.Sprintf("%s had extended the period already", s.extension.File)
	case !e.Until.After(s.planned):
		return fmt.Sprintf("it ends on %s, not after the due date %s", e.Until, s.planned)
	case failed(entered):
		return "the device had failed when it was made"
	}
	return ""
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
