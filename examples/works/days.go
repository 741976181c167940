package works

import (
	"slices"
	"time"

	"plumbrule/records/calendar"
)

func on(year int, month time.Month, day int) calendar.Date {
	return calendar.Date{Year: year, Month: month, Day: day}
}

// made returns the day on which a check planned for a day was made. The works
// was closed over one turn of the year; what fell into it was made up on the
// same weekday of the week after.
func made(planned calendar.Date) calendar.Date {
	if planned.Before(on(2025, 12, 24)) || planned.After(on(2026, 1, 4)) {
		return planned
	}
	return on(2026, 1, 5).AddDays(int(planned.Weekday()+6) % 7)
}

// days lists the days of a plan, back from its last one in equal steps. A check
// made up no earlier than the next one is left out.
func (p *plan) days() []calendar.Date {
	var back []calendar.Date
	next := p.last.AddDays(1)
	for d := p.last; !d.Before(p.first); d = d.AddDays(-p.every) {
		if day := made(d); day.Before(next) {
			back = append(back, day)
			next = day
		}
	}
	out := make([]calendar.Date, 0, len(back))
	for _, b := range slices.Backward(back) {
		out = append(out, b)
	}
	return out
}
