package drawing

import (
	"fmt"
	"math"
	"time"
)

// ticks returns labelled places on the horizontal axis, at most about count.
func (a across) ticks(count int) []tick {
	if a.base.IsZero() {
		return a.numbers(count)
	}
	from, to := a.time(a.low), a.time(a.high)
	if !to.After(from) {
		return []tick{{a.low, from.Format(time.DateOnly)}}
	}
	for _, c := range calendars() {
		var out []tick
		for at := c.floor(from); !at.After(to) && len(out) <= count; at = c.next(at) {
			if !at.Before(from) {
				out = append(out, tick{seconds(a.base, at), at.Format(c.layout)})
			}
		}
		if len(out) <= count && len(out) > 0 {
			return out
		}
	}
	return []tick{{a.low, from.Format(time.DateOnly)}}
}

// numbers labels whole point numbers.
func (a across) numbers(count int) []tick {
	if a.high <= a.low {
		return []tick{{a.low, fmt.Sprint(int(a.low))}}
	}
	step := max(1, nice((a.high-a.low)/float64(count)))
	var out []tick
	for at := math.Ceil(a.low/step) * step; at <= a.high; at += step {
		out = append(out, tick{at, fmt.Sprint(int(at))})
	}
	return out
}

func (a across) time(x float64) time.Time {
	return time.Unix(a.base.Unix()+int64(math.Floor(x)), 0).In(a.base.Location())
}

// calendar is a way to divide time at places people recognise.
type calendar struct {
	layout string
	floor  func(time.Time) time.Time
	next   func(time.Time) time.Time
}

// calendars returns the divisions from the finest to the coarsest.
func calendars() []calendar {
	var out []calendar
	for _, minutes := range []int{1, 5, 15, 30} {
		out = append(out, calendar{
			"01-02 15:04",
			func(t time.Time) time.Time {
				return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), 0, 0, 0, t.Location())
			},
			func(t time.Time) time.Time { return t.Add(time.Duration(minutes) * time.Minute) },
		})
	}
	for _, hours := range []int{1, 3, 6, 12} {
		out = append(out, calendar{
			"01-02 15:04",
			func(t time.Time) time.Time { return day(t, 0) },
			// By the clock on the wall, so that a change of summer time leaves
			// the ticks at full hours.
			func(t time.Time) time.Time {
				return time.Date(t.Year(), t.Month(), t.Day(), t.Hour()+hours, 0, 0, 0, t.Location())
			},
		})
	}
	for _, days := range []int{1, 2, 7, 14} {
		out = append(out, calendar{
			time.DateOnly,
			func(t time.Time) time.Time {
				// Days counted from Monday 1969-12-29, so that weeks begin on Mondays.
				since := int(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC).Unix()/86400) + 3
				return day(t, -(((since % days) + days) % days))
			},
			func(t time.Time) time.Time { return day(t, days) },
		})
	}
	for _, months := range []int{1, 2, 3, 6} {
		out = append(out, calendar{
			"2006-01",
			func(t time.Time) time.Time { return month(t, -((int(t.Month()) - 1) % months)) },
			func(t time.Time) time.Time { return month(t, months) },
		})
	}
	for _, years := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		out = append(out, calendar{
			"2006",
			func(t time.Time) time.Time {
				return time.Date(t.Year()-t.Year()%years, 1, 1, 0, 0, 0, 0, t.Location())
			},
			func(t time.Time) time.Time { return time.Date(t.Year()+years, 1, 1, 0, 0, 0, 0, t.Location()) },
		})
	}
	return out
}

func day(t time.Time, add int) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day()+add, 0, 0, 0, 0, t.Location())
}

func month(t time.Time, add int) time.Time {
	return time.Date(t.Year(), t.Month()+time.Month(add), 1, 0, 0, 0, 0, t.Location())
}
