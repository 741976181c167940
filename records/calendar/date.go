// Package calendar reckons with local dates and time zones: due dates, the
// ends of months, and the instants at which a local day begins and ends.
//
// A date has no zone and no clock. Months are added before days, and a day
// that the month does not have becomes the month's last (the clamp, as
// BYMONTHDAY with SKIP=BACKWARD in RFC 7529 section 4.1); so a repeated due
// date is formed from its anchor with [Date.AddTimes], never from the one
// before.
//
// Zones come from the copy of the IANA database inside the program, so that
// the same records give the same answers on every machine.
package calendar

import (
	"cmp"
	"fmt"
	"time"

	"plumbrule/records/quantity"
)

// Date is a day of the proleptic Gregorian calendar without a time zone. The
// zero value is not stated and is no day.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// Of gives the local date of an instant in a zone, which must not be nil.
func Of(instant time.Time, zone *time.Location) Date {
	year, month, day := instant.In(zone).Date()
	return Date{year, month, day}
}

// IsZero tells whether the date is not stated.
func (d Date) IsZero() bool { return d == Date{} }

// String gives the date as ISO 8601 writes it, "2026-10-05"; empty when not
// stated.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, int(d.Month), d.Day)
}

// Compare gives -1, 0 or +1 as d is before, the same as or after e.
func (d Date) Compare(e Date) int {
	return cmp.Or(cmp.Compare(d.Year, e.Year), cmp.Compare(d.Month, e.Month), cmp.Compare(d.Day, e.Day))
}

// Before tells whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d.Compare(e) < 0 }

// After tells whether d is a later day than e.
func (d Date) After(e Date) bool { return d.Compare(e) > 0 }

// Weekday gives the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// MonthEnd gives the last day of the date's month.
func (d Date) MonthEnd() Date {
	d.Day = daysIn(d.Year, d.Month)
	return d
}

// Add gives the date plus an interval: its months first, with the day clamped
// to the end of the month, then its days. Both may be negative.
func (d Date) Add(interval quantity.Interval) Date { return d.AddTimes(interval, 1) }

// AddTimes gives the date plus k times the interval, added in one step: the
// k-th due date from the anchor d. It differs from adding k times wherever
// the clamp worked on the way.
func (d Date) AddTimes(interval quantity.Interval, k int) Date {
	months := d.Year*12 + int(d.Month) - 1 + interval.Months*k
	year, month := months/12, months%12
	if month < 0 {
		year, month = year-1, month+12
	}
	moved := Date{year, time.Month(month + 1), d.Day}
	moved.Day = min(moved.Day, daysIn(moved.Year, moved.Month))
	return moved.AddDays(interval.Days * k)
}

// AddDays gives the date so many days later, earlier if negative.
func (d Date) AddDays(days int) Date {
	if days == 0 {
		return d
	}
	return Of(d.utc().AddDate(0, 0, days), time.UTC)
}

// DaysUntil gives the number of days from d to e, negative if e is earlier.
func (d Date) DaysUntil(e Date) int {
	const day = 24 * 60 * 60
	return int((e.utc().Unix() - d.utc().Unix()) / day)
}

// utc gives the midnight with which days are counted.
func (d Date) utc() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

func daysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}
