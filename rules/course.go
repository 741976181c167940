package rules

import (
	"fmt"
	"math"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/drift"
	"plumbrule/rules/figure"
)

// TrendQuestion is what trends are asked.
type TrendQuestion struct {
	Level   float64           // two-sided, of bands and intervals, 0.5 … 0.9999
	Horizon quantity.Interval // how far ahead an answer is of use; not zero
}

// Course is a figure over time, drawn by segments, with what the present one
// foretells.
type Course struct {
	Begin    time.Time // day 0 of the points
	Points   []drift.Point
	Segments []drift.Segment // the last is the present one

	// Slope is that of the present segment in µm a day; nil without a line.
	Slope *drift.Band
	// Robust is the Theil–Sen line of the present segment; nil: NoRobust says why.
	Robust   *drift.RobustLine
	NoRobust string

	Forecast drift.Forecast
	// MeetsOn is the day on which the prediction band first meets the limit,
	// FittedOn that on which the line does; zero where Forecast has none.
	MeetsOn, FittedOn calendar.Date
}

// Present is the segment that a forecast rests on.
func (c *Course) Present() *drift.Segment { return &c.Segments[len(c.Segments)-1] }

// course is a course in the making.
type course struct {
	begin    time.Time
	points   []drift.Point
	restarts []int
	limitUM  float64
	oneSided bool   // the figure is never negative, and its limit an upper one
	ended    string // why the last segment is not the present state; empty: it is
}

func (c *course) add(at time.Time, errorUM float64) {
	c.points = append(c.points, drift.Point{Day: daysBetween(c.begin, at), ErrorUM: errorUM})
}

// course draws the lines and asks the question as of the context's instant.
func (c *context) course(of course, q TrendQuestion) (Course, error) {
	out := Course{Begin: of.begin, Points: of.points}
	ask := drift.Question{
		LowerUM: -of.limitUM, UpperUM: of.limitUM, Level: q.Level, Today: daysBetween(of.begin, c.at),
		HorizonDays: float64(c.today.DaysUntil(c.today.Add(q.Horizon))),
	}
	if of.oneSided {
		ask.LowerUM = -unreachableUM
	}
	if of.limitUM <= 0 {
		ask.LowerUM, ask.UpperUM = -unreachableUM, unreachableUM
		if of.ended == "" {
			of.ended = "there is no limit above 0"
		}
	}
	trend, err := drift.Trend(of.points, of.restarts, ask)
	if err != nil {
		return out, err
	}
	out.Segments, out.Forecast = trend.Segments, trend.Forecast
	if out.Forecast.LimitUM.Value != nil && *out.Forecast.LimitUM.Value == -unreachableUM {
		out.Forecast = noForecast(drift.NotWithinHorizon, "the figure falls, away from its limit")
	}
	present := out.Present()
	if line := present.Line; line != nil {
		if of.oneSided && out.Forecast.Outcome == drift.BeyondAlready {
			now, err := line.Prediction(ask.Today, q.Level)
			if err != nil {
				return out, err
			}
			out.Forecast = noForecast(drift.BeyondAlready, fmt.Sprintf("a reading today may reach %.3g µm, the limit is %g µm", *now.Upper.Value, of.limitUM))
		}
		band, err := line.SlopeBand(q.Level)
		if err != nil {
			return out, err
		}
		out.Slope = &band
	}
	days, errorsUM := segmentOf(of.points, *present)
	out.Robust, out.NoRobust = RobustLine(days, errorsUM, q.Level)
	if of.ended != "" {
		out.Forecast = noForecast(drift.NoLine, of.ended)
	}
	out.MeetsOn, out.FittedOn = c.dayOf(of.begin, out.Forecast.Day), c.dayOf(of.begin, out.Forecast.Fitted)
	return out, nil
}

// unreachableUM stands for a limit that there is none of.
const unreachableUM = 1e30

// dayOf turns days into a local date; zero for a figure that does not exist.
func (c *context) dayOf(begin time.Time, day figure.Figure) calendar.Date {
	if day.Value == nil {
		return calendar.Date{}
	}
	const hour = float64(time.Hour)
	return c.day(begin.Add(time.Duration(math.Floor(*day.Value * 24 * hour))))
}

func noForecast(outcome drift.Outcome, reason string) drift.Forecast {
	f := figure.Absent(reason)
	return drift.Forecast{Outcome: outcome, Reason: reason, LimitUM: f, Day: f, Fitted: f}
}
