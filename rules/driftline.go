package rules

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/rules/interval"
)

// CalibratedLine is the line of a trend as the review of calibration intervals
// takes it: in months from the last calibration.
type CalibratedLine struct {
	interval.Line
	LimitUM float64
	Of      *Trend
}

// LinesSince returns the lines of the trends along which errors go on from a
// calibration; or none, and why. A line does not count if its series is history,
// if the device was adjusted after the calibration, or if the limit is an upper
// one only, which the review does not know.
func LinesSince(trends []Trend, calibrated calendar.Date, zone *time.Location) ([]CalibratedLine, string) {
	var out []CalibratedLine
	why := "no series of checks is at hand"
	for i := range trends {
		t := &trends[i]
		switch n := len(t.Adjusted); {
		case t.Quantity.OneSided():
			continue
		case !t.Current:
			why = "no series of checks is kept up"
			continue
		case n > 0 && calendar.Of(t.Adjusted[n-1].Time, zone).After(calibrated):
			why = "the device was adjusted after its last calibration, and an interval begins with one"
			continue
		case t.Present().Line == nil:
			why = t.Present().Reason
			continue
		case t.Present().Line.Exact:
			why = "the errors show no scatter"
			continue
		case t.LimitUM() <= 0:
			why = "there is no limit above 0"
			continue
		}
		line := t.Present().Line
		days, _ := segmentOf(t.Points, *t.Present())
		squares := 0.0
		for _, d := range days {
			squares += float64((d - line.XMean) * (d - line.XMean))
		}
		begin := daysBetween(calibrated.StartIn(zone), t.Begin)
		out = append(out, CalibratedLine{
			Line: interval.Line{
				Points: line.N, MeanMonths: (begin + line.XMean) / DaysPerMonth, SumSquares: squares / (DaysPerMonth * DaysPerMonth),
				ErrorAtMean: line.AtMean, SlopePerMonth: line.Slope * DaysPerMonth, ResidualSD: line.ResidualSD,
			},
			LimitUM: t.LimitUM(), Of: t,
		})
	}
	if len(out) > 0 {
		why = ""
	}
	return out, why
}
