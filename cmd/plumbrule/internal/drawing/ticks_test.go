package drawing

import (
	"math"
	"strings"
	"testing"
	"time"

	"plumbrule/rules/chart"
)

func TestTicksAreRound(t *testing.T) {
	for _, test := range []struct {
		low, high float64
		count     int
		want      string
	}{
		{0, 10, 5, "0 2 4 6 8 10"},
		{-0.3, 0.3, 6, "-0.3 -0.2 -0.1 0.0 0.1 0.2 0.3"},
		{29.9981, 30.0012, 6, "29.999 30.000 30.001"},
		{0, 0.7, 7, "0.0 0.1 0.2 0.3 0.4 0.5 0.6 0.7"},
		{1200, 4100, 4, "2000 3000 4000"},
		{-3e9, 3e9, 3, "-2e+09 0 2e+09"},
		{1e-9, 5e-9, 4, "1e-09 2e-09 3e-09 4e-09 5e-09"},
	} {
		var got []string
		for _, tick := range (scale{low: test.low, high: test.high}).ticks(test.count) {
			got = append(got, tick.label)
		}
		if text := strings.Join(got, " "); text != test.want {
			t.Errorf("%v to %v: %s, want %s", test.low, test.high, text, test.want)
		}
	}
}

func TestCalendarTicks(t *testing.T) {
	berlin := time.FixedZone("CET", 3600)
	for _, test := range []struct {
		from, to time.Time
		count    int
		want     string
	}{
		// 2026-01-05 is a Monday.
		{date("2026-01-03"), date("2026-01-30"), 5, "2026-01-05 2026-01-12 2026-01-19 2026-01-26"},
		{date("2026-01-30"), date("2026-06-03"), 6, "2026-02 2026-03 2026-04 2026-05 2026-06"},
		{date("2025-02-01"), date("2026-11-30"), 5, "2025-07 2026-01 2026-07"},
		{date("2019-02-01"), date("2026-11-30"), 5, "2020 2022 2024 2026"},
		{time.Date(2026, 3, 1, 23, 0, 0, 0, berlin), time.Date(2026, 3, 2, 8, 0, 0, 0, berlin), 5, "03-02 00:00 03-02 03:00 03-02 06:00"},
		{date("2026-03-01"), date("2026-03-01"), 5, "2026-03-01"},
	} {
		p := Picture{Points: []Point{{When: test.from}, {When: test.to}}, Chart: mustChart(t, []float64{1, 2}, chart.Settings{})}
		var got []string
		for _, tick := range p.across().ticks(test.count) {
			got = append(got, tick.label)
		}
		if text := strings.Join(got, " "); text != test.want {
			t.Errorf("%s to %s: %s, want %s", test.from, test.to, text, test.want)
		}
	}
}

// Gaps in time are true to scale, and a mark between two points stands between.
func TestPlacesAreTrueToTime(t *testing.T) {
	p := Picture{
		Chart:  mustChart(t, []float64{1, 2, 3}, chart.Settings{}),
		Points: []Point{{When: date("2026-01-01")}, {When: date("2026-01-11")}, {When: date("2026-04-11")}},
		Marks:  []Mark{{Before: 1}, {When: date("2026-01-21")}, {Before: 3}},
	}
	a := p.across()
	for i, want := range []float64{0, 0.1, 1} {
		if got := a.at(a.points[i]); math.Abs(got-want) > 1e-12 {
			t.Errorf("point %d at %v, want %v", i+1, got, want)
		}
	}
	for i, want := range []float64{0.05, 0.2, 1} {
		if got := a.at(a.marks[i]); math.Abs(got-want) > 1e-12 {
			t.Errorf("mark %d at %v, want %v", i+1, got, want)
		}
	}
}
