package due

import (
	"strconv"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Policy says how much of the due date's month may still be used. The zero value counts as [Day].
type Policy string

const (
	// Day means due on the day itself.
	Day Policy = "day"
	// MonthEnd means that an interval in months is due at the end of the month it leads to. An interval with days in it stays to
	// the day, because "every 7 days" means the day.
	MonthEnd Policy = "month-end"
)

// PolicyError says that a text names no policy.
type PolicyError struct{ Found string }

// Error tells what stands there and what was expected.
func (e *PolicyError) Error() string { return strconv.Quote(e.Found) + ", expected day or month-end" }

// ParsePolicy returns the policy of that name, exactly as written in the records, or a [*PolicyError].
func ParsePolicy(name string) (Policy, error) {
	switch p := Policy(name); p {
	case Day, MonthEnd:
		return p, nil
	}
	return "", &PolicyError{Found: name}
}

// lastYear is the last that four digits can write.
const lastYear = 9999

// Next returns the k-th due date counted from the anchor: k = 1 is the first one after it, k = 0 the anchor itself under
// the policy. There is none, and the date returned is not stated, when the anchor or the interval is not stated, an
// interval is negative, k is negative, or the date lies after the year 9999.
func Next(anchor calendar.Date, interval quantity.Interval, k int, until Policy) calendar.Date {
	if anchor.IsZero() || interval.IsZero() || interval.Months < 0 || interval.Days < 0 || k < 0 || beyond(anchor, interval, k) {
		return calendar.Date{}
	}
	next := anchor.AddTimes(interval, k)
	if next.Year > lastYear {
		return calendar.Date{}
	}
	if until == MonthEnd && interval.Days == 0 {
		return next.MonthEnd()
	}
	return next
}

// beyond tells roughly, without forming products that could overflow, whether the date lies far after the last year.
func beyond(anchor calendar.Date, interval quantity.Interval, k int) bool {
	const months, days = (lastYear + 1) * 12, (lastYear + 1) * 366
	return anchor.Year > lastYear || k > 0 && (interval.Months > months/k || interval.Days > days/k)
}
