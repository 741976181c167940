package calendar

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"plumbrule/records/quantity"
)

func mustZone(tb testing.TB, name string) *time.Location {
	tb.Helper()
	zone, err := Zone(name)
	if err != nil {
		tb.Fatalf("%q: %v", name, err)
	}
	return zone
}

// java.time 17, LocalDate.atStartOfDay(zone); the zones' rules are those of
// the IANA database.
func TestLocalDayBeginsAndEnds(t *testing.T) {
	for _, c := range []struct {
		zone, date, start, end string
		length                 time.Duration
	}{
		{"Europe/Berlin", "2026-03-29", "2026-03-28T23:00:00Z", "2026-03-29T22:00:00Z", 23 * time.Hour},
		{"Europe/Berlin", "2026-10-25", "2026-10-24T22:00:00Z", "2026-10-25T23:00:00Z", 25 * time.Hour},
		{"Europe/Berlin", "2026-10-05", "2026-10-04T22:00:00Z", "2026-10-05T22:00:00Z", 24 * time.Hour},
		{"America/New_York", "2026-03-08", "2026-03-08T05:00:00Z", "2026-03-09T04:00:00Z", 23 * time.Hour},
		{"America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00:00Z", "2018-11-05T02:00:00Z", 23 * time.Hour}, // began at 01:00
		{"America/Sao_Paulo", "2018-02-17", "2018-02-17T02:00:00Z", "2018-02-18T03:00:00Z", 25 * time.Hour}, // 23:00 came twice
		{"Pacific/Apia", "2011-12-29", "2011-12-29T10:00:00Z", "2011-12-30T10:00:00Z", 24 * time.Hour},
		{"Pacific/Apia", "2011-12-30", "2011-12-30T10:00:00Z", "2011-12-30T10:00:00Z", 0}, // left out of the calendar
		{"Pacific/Kiritimati", "2026-01-01", "2025-12-31T10:00:00Z", "2026-01-01T10:00:00Z", 24 * time.Hour},
		{"America/Havana", "2025-11-02", "2025-11-02T04:00:00Z", "2025-11-03T05:00:00Z", 25 * time.Hour}, // 00:00 came twice
		{"Asia/Kathmandu", "2026-01-01", "2025-12-31T18:15:00Z", "2026-01-01T18:15:00Z", 24 * time.Hour},
		{"UTC", "2026-10-05", "2026-10-05T00:00:00Z", "2026-10-06T00:00:00Z", 24 * time.Hour},
		{"Europe/Berlin", "2150-07-01", "2150-06-30T22:00:00Z", "2150-07-01T22:00:00Z", 24 * time.Hour}, // by rule, beyond the table
		// The day after a leap year, computed: winter time is an hour ahead of UTC.
		{"Europe/Berlin", "2025-01-01", "2024-12-31T23:00:00Z", "2025-01-01T23:00:00Z", 24 * time.Hour},
		{"America/St_Johns", "2029-01-02", "2029-01-02T03:30:00Z", "2029-01-03T03:30:00Z", 24 * time.Hour},
	} {
		zone, date := mustZone(t, c.zone), mustDate(t, c.date)
		start, end := date.StartIn(zone), date.EndIn(zone)
		if got := start.UTC().Format(time.RFC3339); got != c.start {
			t.Errorf("%s in %s begins %s, want %s", c.date, c.zone, got, c.start)
		}
		if got := end.UTC().Format(time.RFC3339); got != c.end {
			t.Errorf("%s in %s ends %s, want %s", c.date, c.zone, got, c.end)
		}
		if got := end.Sub(start); got != c.length {
			t.Errorf("%s in %s lasts %s, want %s", c.date, c.zone, got, c.length)
		}
		if start.Location() != zone {
			t.Errorf("%s in %s begins in %s", c.date, c.zone, start.Location())
		}
	}
}

// java.time 17: 2026-10-05T08:12 in Berlin plus one month is 745 hours later,
// because the clocks go back in between.
func TestAMonthAcrossTheClockChange(t *testing.T) {
	zone, date := mustZone(t, "Europe/Berlin"), mustDate(t, "2026-10-05")
	later := date.Add(quantity.Interval{Months: 1})
	if got := later.StartIn(zone).Sub(date.StartIn(zone)); got != 745*time.Hour {
		t.Errorf("%s after %s", got, date)
	}
}

func TestOf(t *testing.T) {
	instant := time.Date(2026, 10, 24, 22, 30, 0, 0, time.UTC)
	for zone, want := range map[string]string{"Europe/Berlin": "2026-10-25", "UTC": "2026-10-24", "Pacific/Kiritimati": "2026-10-25"} {
		if got := Of(instant, mustZone(t, zone)); got != mustDate(t, want) {
			t.Errorf("in %s: %s, want %s", zone, got, want)
		}
	}
}

// In every zone the first instant of a day is on that day, or after it where
// the day was left out, and the instant before is not.
func TestStartInIsTheFirstInstant(t *testing.T) {
	names := []string{
		"Europe/Berlin", "America/Sao_Paulo", "Pacific/Apia", "America/St_Johns", "Asia/Manila", "Africa/Cairo",
		"America/Havana", "Australia/Lord_Howe", "Asia/Gaza", "America/Scoresbysund", "Antarctica/Troll", "Asia/Tehran",
	}
	zones := make([]*time.Location, len(names))
	for i, name := range names {
		zones[i] = mustZone(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom(zones).Draw(t, "zone")
		d := anyDate(t, "date")
		start := d.StartIn(zone)
		if on := Of(start, zone); on.Before(d) {
			t.Fatalf("%s in %s begins %s", d, zone, start)
		}
		if before := Of(start.Add(-1), zone); !before.Before(d) {
			t.Fatalf("%s in %s had begun before %s", d, zone, start)
		}
		if end := d.EndIn(zone); end.Before(start) || end.Sub(start) > 26*time.Hour {
			t.Fatalf("%s in %s runs from %s to %s", d, zone, start, end)
		}
	})
}
