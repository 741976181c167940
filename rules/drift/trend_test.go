package drift_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/drift"
)

func points(days, errors []float64) []drift.Point {
	out := make([]drift.Point, len(days))
	for i := range days {
		out[i] = drift.Point{Day: days[i], ErrorUM: errors[i]}
	}
	return out
}

func trend(t *testing.T, p []drift.Point, restarts []int, q drift.Question) drift.Drift {
	t.Helper()
	d, err := drift.Trend(p, restarts, q)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func within(limit, today, horizon float64) drift.Question {
	return drift.Question{LowerUM: -limit, UpperUM: limit, Level: 0.95, Today: today, HorizonDays: horizon}
}

// The days are those of TestDriftToALimit, recomputed in another program.
func TestForecast(t *testing.T) {
	p := points(steady())
	for _, c := range []struct {
		name        string
		points      []drift.Point
		q           drift.Question
		outcome     drift.Outcome
		day, fitted float64 // 0: none
		limit       float64
	}{
		{"meets", p, within(15, 540, 365), drift.MeetsLimit, 565.2464, 750, 15},
		{"meets, line later", p, within(15, 540, 100), drift.MeetsLimit, 565.2464, 0, 15},
		{"last day of the horizon", p, within(15, 540, 25.25), drift.MeetsLimit, 565.2464, 0, 15},
		{"too far", p, within(25, 540, 365), drift.NotWithinHorizon, 0, 0, 25},
		{"beyond today", p, within(15, 566, 365), drift.BeyondAlready, 0, 0, 0},
		{"beyond on the other side", p, drift.Question{LowerUM: 10, UpperUM: 30, Level: 0.95, Today: 540, HorizonDays: 365}, drift.BeyondAlready, 0, 0, 0},
		{"no trend", points([]float64{0, 90, 180, 270, 360}, []float64{2, 4, 1, 5, 3}), within(15, 400, 365), drift.NoTrend, 0, 0, 0},
		{"no scatter", points([]float64{0, 90, 180}, []float64{1, 2, 3}), within(15, 400, 365), drift.NoScatter, 0, 0, 0},
		{"two points", p[:2], within(15, 400, 365), drift.NoLine, 0, 0, 0},
		{"one day", points([]float64{5, 5, 5}, []float64{1, 2, 3}), within(15, 400, 365), drift.NoLine, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := trend(t, c.points, nil, c.q).Forecast
			if f.Outcome != c.outcome || f.Reason == "" {
				t.Fatalf("%+v", f)
			}
			for _, g := range []struct {
				what string
				got  drift.Figure
				want float64
			}{{"day", f.Day, c.day}, {"fitted", f.Fitted, c.fitted}, {"limit", f.LimitUM, c.limit}} {
				if g.want == 0 {
					lacks(t, g.what, g.got)
				} else {
					near(t, g.what, value(t, g.what, g.got), g.want, 5.1e-5)
				}
			}
		})
	}
}

// The same drift before and after an adjustment that took 10 µm off: neither line knows of the other's points, and the
// present one predicts.
func TestNoLineCrossesARestart(t *testing.T) {
	days, errors := steady()
	p := points(days, errors)
	for i := range days {
		p = append(p, drift.Point{Day: days[i] + 600, ErrorUM: errors[i] - 10})
	}
	p = append(p[:10], append([]drift.Point{{Day: 785, ErrorUM: -6}}, p[10:]...)...)
	d := trend(t, p, []int{0, 7}, within(15, 1140, 800))
	if len(d.Segments) != 2 || d.Segments[0].First != 0 || d.Segments[0].Last != 6 || d.Segments[1].First != 7 || d.Segments[1].Last != 14 {
		t.Fatalf("%+v", d.Segments)
	}
	near(t, "first slope", d.Segments[0].Line.Slope, 0.017857143, 5.1e-10)
	alone := trend(t, p[7:], nil, within(15, 1140, 800))
	if *alone.Forecast.Day.Value != *d.Forecast.Day.Value || alone.Segments[0].Line.Slope != d.Segments[1].Line.Slope {
		t.Errorf("the present segment depends on the past: %+v, %+v", alone.Forecast, d.Forecast)
	}
	fresh := trend(t, p, []int{7, 13}, within(15, 1140, 800))
	if fresh.Forecast.Outcome != drift.NoLine || fresh.Segments[2].Line != nil || fresh.Segments[2].Reason != "2 points, expected at least 3; take more readings" {
		t.Errorf("%+v", fresh.Segments[2])
	}
}

// Errors with their signs turned meet the other limit on the same day; days counted from elsewhere move the day along.
func TestForecastMirrored(t *testing.T) {
	met := 0
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(4, 15).Draw(r, "n")
		slope := float64(rapid.IntRange(-9, 9).Draw(r, "slope"))
		var p, mirrored []drift.Point
		for i := range n {
			e := slope*float64(i) + float64(rapid.IntRange(-5, 5).Draw(r, "scatter"))
			p = append(p, drift.Point{Day: float64(10 * i), ErrorUM: e})
			mirrored = append(mirrored, drift.Point{Day: float64(10*i) + 1000, ErrorUM: -e})
		}
		last := float64(10 * n)
		a := trend(t, p, nil, drift.Question{LowerUM: -150, UpperUM: 120, Level: 0.9, Today: last, HorizonDays: 900}).Forecast
		b := trend(t, mirrored, nil, drift.Question{LowerUM: -120, UpperUM: 150, Level: 0.9, Today: last + 1000, HorizonDays: 900}).Forecast
		if a.Outcome != b.Outcome {
			t.Fatalf("%+v, %+v", a, b)
		}
		if a.Outcome != drift.MeetsLimit {
			return
		}
		met++
		near(t, "day", *b.Day.Value, *a.Day.Value+1000, 1e-6)
		near(t, "limit", *b.LimitUM.Value, -*a.LimitUM.Value, 0)
		if *a.Day.Value < last {
			t.Errorf("day %v lies before today", *a.Day.Value)
		}
	})
	if met == 0 {
		t.Error("no trend met its limit")
	}
}

func TestTrendRefuses(t *testing.T) {
	p := points(steady())
	good := within(15, 540, 365)
	for _, c := range []struct {
		points   []drift.Point
		restarts []int
		change   func(*drift.Question)
		want     string
	}{
		{nil, nil, nil, "no points, expected at least one"},
		{[]drift.Point{{2, 1}, {1, 1}}, nil, nil, "the point at index 1 is of day 1, expected day 2 or later; sort the points by day"},
		{[]drift.Point{{2, math.NaN()}}, nil, nil, "the error of the point at index 0 is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from"},
		{[]drift.Point{{math.Inf(1), 1}}, nil, nil, "the day of the point at index 0 is +Inf, expected a finite number of at most 1e40 in magnitude; check where it came from"},
		{p, []int{3, 3}, nil, "restart at index 3, expected ascending indexes from 0 to 6"},
		{p, []int{7}, nil, "restart at index 7, expected ascending indexes from 0 to 6"},
		{p, []int{-1}, nil, "restart at index -1, expected ascending indexes from 0 to 6"},
		{p, nil, func(q *drift.Question) { q.Today = 539 }, "today is day 539, expected day 540 of the last point or later; leave later points out"},
		{p, nil, func(q *drift.Question) { q.HorizonDays = 0 }, "the horizon is 0 days, expected above 0"},
		{p, nil, func(q *drift.Question) { q.LowerUM = 15 }, "the lower limit is 15, expected below the upper limit 15; swap the limits"},
		{p, nil, func(q *drift.Question) { q.UpperUM = math.NaN() }, "the upper limit is NaN, expected a finite number of at most 1e40 in magnitude; check where it came from"},
		{p, nil, func(q *drift.Question) { q.Level = 0 }, "level 0, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %"},
	} {
		q := good
		if c.change != nil {
			c.change(&q)
		}
		_, err := drift.Trend(c.points, c.restarts, q)
		refused(t, err, c.want)
	}
}
