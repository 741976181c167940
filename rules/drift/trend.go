package drift

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// Point is one error of a device, measured on a day. Days count from any one day; fractions are allowed.
type Point struct {
	Day, ErrorUM float64
}

// Question is what a trend is asked.
type Question struct {
	LowerUM, UpperUM float64 // limits of the error, for example ∓MPE
	Level            float64 // of the two-sided prediction band, 0.5 … 0.9999
	Today            float64 // the day of asking, not before the last point
	HorizonDays      float64 // how far ahead an answer is of use, above 0; a line is not believed for ever
}

// Outcome is the kind of answer to a question.
type Outcome string

// The outcomes.
const (
	// MeetsLimit: the prediction band first meets a limit on a day within the horizon.
	MeetsLimit Outcome = "meets-limit"
	// NotWithinHorizon: it meets a limit later, which is farther than the line is believed.
	NotWithinHorizon Outcome = "not-within-horizon"
	// BeyondAlready: the prediction band reaches beyond a limit today.
	BeyondAlready Outcome = "beyond-already"
	// NoTrend: the slope is not significant, so there is no day to name.
	NoTrend Outcome = "no-trend-shown"
	// NoScatter: the points lie exactly on a line, so there is no band.
	NoScatter Outcome = "no-scatter"
	// NoLine: the present segment has too few points, or all on one day.
	NoLine Outcome = "no-line"
)

// Segment is a stretch of points between two changes of the device. First and Last are indexes into the points.
type Segment struct {
	First, Last int
	Line        *Line  // nil if there is none
	Reason      string // why there is none; empty if there is
}

// Forecast is the answer from the present segment.
type Forecast struct {
	Outcome Outcome
	Reason  string // the outcome in words, with what it rests on
	// LimitUM is the limit that the trend approaches; absent without a trend, and when a limit is passed already.
	LimitUM Figure
	// Day is when the prediction band first meets the limit, Fitted when the line itself does; each absent unless it falls
	// within the horizon.
	Day, Fitted Figure
}

// Drift is a trend by segments.
type Drift struct {
	Segments []Segment // in order; the last is the present one
	Forecast Forecast
}

// Trend fits a line to each segment of the points and answers a question from the present one. The points come in order
// of days. restarts are the indexes, ascending, of the first points after a change of the device (an adjustment or a
// repair); no line crosses one. A period from as left to the next as found is a segment like any other: the caller gives
// the as-left point first.
//
// A forecast is a prediction by the straight line alone, at the two-sided level, for one further reading.
//
// An error is returned for no points, points out of order, numbers that are not finite, restarts out of order or range,
// and a question that contradicts itself or the points.
func Trend(points []Point, restarts []int, q Question) (Drift, error) {
	if err := checkPoints(points); err != nil {
		return Drift{}, err
	}
	if err := q.check(points[len(points)-1].Day); err != nil {
		return Drift{}, err
	}
	starts := []int{0}
	for i, at := range restarts {
		if at < 0 || at >= len(points) || i > 0 && at <= restarts[i-1] {
			return Drift{}, fmt.Errorf("restart at index %d, expected ascending indexes from 0 to %d", at, len(points)-1)
		}
		if at > 0 {
			starts = append(starts, at)
		}
	}
	var out Drift
	for i, first := range starts {
		last := len(points) - 1
		if i+1 < len(starts) {
			last = starts[i+1] - 1
		}
		s := Segment{First: first, Last: last}
		if line, err := fitPoints(points[first : last+1]); err != nil {
			s.Reason = err.Error()
		} else {
			s.Line = &line
		}
		out.Segments = append(out.Segments, s)
	}
	out.Forecast = forecast(out.Segments[len(out.Segments)-1], q)
	return out, nil
}

func fitPoints(points []Point) (Line, error) {
	days, errors := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		days[i], errors[i] = p.Day, p.ErrorUM
	}
	return Fit(days, errors)
}

func checkPoints(points []Point) error {
	if len(points) == 0 {
		return fmt.Errorf("no points, expected at least one")
	}
	for i, p := range points {
		if err := checkNumber(fmt.Sprintf("the day of the point at index %d is", i), p.Day); err != nil {
			return err
		}
		if err := checkNumber(fmt.Sprintf("the error of the point at index %d is", i), p.ErrorUM); err != nil {
			return err
		}
		if i > 0 && p.Day < points[i-1].Day {
			return fmt.Errorf("the point at index %d is of day %g, expected day %g or later; sort the points by day", i, p.Day, points[i-1].Day)
		}
	}
	return nil
}

func (q Question) check(last float64) error {
	if err := checkLevel(q.Level); err != nil {
		return err
	}
	for _, n := range []struct {
		what  string
		value float64
	}{{"the lower limit is", q.LowerUM}, {"the upper limit is", q.UpperUM}, {"today is", q.Today}, {"the horizon is", q.HorizonDays}} {
		if err := checkNumber(n.what, n.value); err != nil {
			return err
		}
	}
	switch {
	case q.LowerUM >= q.UpperUM:
		return fmt.Errorf("the lower limit is %g, expected below the upper limit %g; swap the limits", q.LowerUM, q.UpperUM)
	case q.Today < last:
		return fmt.Errorf("today is day %g, expected day %g of the last point or later; leave later points out", q.Today, last)
	case q.HorizonDays <= 0:
		return fmt.Errorf("the horizon is %g days, expected above 0", q.HorizonDays)
	}
	return nil
}

// forecast relies on checked questions: the errors of bands and crossings cannot occur and would come out as NoLine.
func forecast(s Segment, q Question) Forecast {
	if s.Line == nil {
		return none(NoLine, s.Reason)
	}
	l := *s.Line
	now, err := l.Prediction(q.Today, q.Level)
	if err != nil {
		return none(NoLine, err.Error())
	}
	if l.Exact {
		return none(NoScatter, noScatter)
	}
	if low, high := *now.Lower.Value, *now.Upper.Value; low < q.LowerUM || high > q.UpperUM {
		return none(BeyondAlready, fmt.Sprintf("a reading today may lie from %.3g to %.3g µm, the limits are %g and %g µm", low, high, q.LowerUM, q.UpperUM))
	}
	slope := l.slopeBand(q.Level)
	if !slope.excludesZero() {
		return none(NoTrend, fmt.Sprintf("the slope, %.3g µm a day, is not significant at %g: its interval, %.3g to %.3g, includes 0",
			l.Slope, q.Level, *slope.Lower.Value, *slope.Upper.Value))
	}
	limit := q.UpperUM
	if l.Slope < 0 {
		limit = q.LowerUM
	}
	c, err := l.Crossings(limit, q.Level)
	if err != nil {
		return none(NoLine, err.Error())
	}
	// The band is inside the limits today, so what it meets lies ahead.
	f := Forecast{LimitUM: figure.Known(limit), Day: q.within(c.Prediction.Lower), Fitted: q.within(c.Estimate)}
	if f.Day.Value == nil {
		f.Outcome, f.Reason = NotWithinHorizon, f.Day.Reason
		return f
	}
	f.Outcome = MeetsLimit
	f.Reason = fmt.Sprintf("the prediction band at %g of %d points meets %g µm on day %.0f", q.Level, l.N, limit, math.Floor(*f.Day.Value))
	return f
}

// within withholds a day beyond the horizon.
func (q Question) within(day Figure) Figure {
	if day.Value == nil || *day.Value <= q.Today+q.HorizonDays {
		return day
	}
	return figure.Absentf("not within %g days of day %g", q.HorizonDays, q.Today)
}

func none(outcome Outcome, reason string) Forecast {
	f := figure.Absentf("%s", reason)
	return Forecast{Outcome: outcome, Reason: reason, LimitUM: f, Day: f, Fitted: f}
}
