package works

import (
	"slices"

	"plumbrule/records/calendar"
)

// plan is one required check of one device: when it was done and how the
// device errs.
type plan struct {
	device, artifact, procedure, by string

	first, last  calendar.Date // between which it was done; first need not be a day of the plan
	every        int           // days
	hour, minute int           // from when on
	steps        float64       // of the device's last digit, per millimetre
	seed         uint64        // of the times of day
	climate      bool          // done in the measuring room, which is kept at 20 °C; otherwise in the hall
	features     []behaviour
}

// behaviour is how a device errs on one feature.
type behaviour struct {
	name      string
	repeats   int
	pathM     float64 // path travelled in metres; 0: none is stated
	betweenUM float64 // standard deviation from check to check
	withinUM  float64 // standard deviation from reading to reading
	seed      uint64
	eras      []era
}

// era is a stretch of time with one mean error, from a day until the next era.
type era struct {
	from    calendar.Date
	errorUM float64
	driftUM float64 // in a year
}

// error returns the mean error on a day in micrometres.
func (f *behaviour) error(day calendar.Date) float64 {
	out := 0.0
	for _, e := range f.eras {
		if !e.from.After(day) {
			out = e.errorUM + float64(e.driftUM*float64(e.from.DaysUntil(day)))/365
		}
	}
	return out
}

// Steps of the last digits.
const (
	tenthMicrometre = 10000.0
	micrometre      = 1000.0
	hundredthMM     = 100.0
)

// The intervals of the plans in days. Monthly checks are done every four weeks,
// on one weekday, which is never later than a month after the last.
const (
	weekly      = 7
	fortnightly = 14
	monthly     = 28
)

// begin is the first day of the history.
func begin() calendar.Date { return on(2025, 5, 1) }

// plans lists every plan of the works.
func plans() []plan { return slices.Concat(scannerPlans(), armPlans(), gaugePlans()) }

// steady is a mean error that only drifts.
func steady(errorUM, driftUM float64) []era { return []era{{begin(), errorUM, driftUM}} }
