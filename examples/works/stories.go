package works

import (
	"fmt"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// extra is a check beside the plans, done in the manner of one of them.
type extra struct {
	device       string
	day          calendar.Date
	hour, minute int
	purpose      string
	by           string // empty: who does the others
	note         string
	seed         uint64
}

// extras lists the checks that the events of the works brought with them.
func extras() []extra {
	return []extra{
		{"arm-01", on(2026, 2, 3), 7, 15, records.AsFoundCheck, "", "before the service", 1},
		{"arm-01", on(2026, 2, 3), 10, 40, records.AsLeftCheck, "", "after the service", 2},
		{"mic-02", on(2026, 3, 16), 8, 5, "", "", "after it was found again", 3},
		{"caliper-02", on(2026, 7, 6), 15, 10, "", "", "out of turn: two widths of a plate differed from the drawing", 5},
		{"caliper-02", on(2026, 7, 6), 15, 32, "", "mk", "repeated by a second person, nothing cleaned and nothing adjusted", 6},
		{"bore-01", on(2026, 10, 29), 13, 20, "", "", "before order ND-26-044", 4},
	}
}

// check makes the check of an extra from the plan of its device.
func (x *extra) check(s shop, p plan) (*records.Check, error) {
	random := streams{clock: newDraws(x.seed, 0)}
	for i := range p.features {
		random.features = append(random.features, newDraws(x.seed, uint64(i+1)))
	}
	day := x.day
	if x.purpose == records.AsFoundCheck {
		day = day.AddDays(-1) // the device is still as it was the day before
	}
	k, err := s.check(&p, day, random)
	if err != nil {
		return nil, err
	}
	k.Time = time.Date(x.day.Year, x.day.Month, x.day.Day, x.hour, x.minute, 0, 0, s.set.Site.Zone)
	k.Entered = k.Time.Add(9 * time.Minute)
	k.Purpose, k.Note = x.purpose, x.note
	if x.by != "" {
		k.By = x.by
	}
	return k, nil
}

// typed spoils a check by a slip of the keys and makes the correction that was
// entered three hours later. Both stay on file.
func typed(k *records.Check, zone *time.Location) (slip, correction *records.Check) {
	wrong, right := *k, *k
	wrong.Readings = append([]records.Reading(nil), k.Readings...)
	r := &wrong.Readings[1]
	r.Values = append([]float64(nil), r.Values...)
	r.Values[1] = onGrid(r.Values[1]+0.03, micrometre)
	right.Entered = k.Entered.Add(2*time.Hour + 48*time.Minute)
	right.Amends = records.CheckPath(k, zone)
	right.Reason = fmt.Sprintf("typing error in the second reading of block %s: %v was on the paper sheet", r.Feature, k.Readings[1].Values[1])
	return &wrong, &right
}

// late marks a check that was noted on paper and entered two days later: two
// times are kept, when it was measured and when it was entered.
func late(k *records.Check) {
	k.Entered = k.Entered.AddDate(0, 0, 2)
	k.Note = "measured at the dock, no network; entered from the paper sheet"
}
