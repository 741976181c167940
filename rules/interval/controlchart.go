package interval

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"plumbrule/rules/figure"
)

// Line is a straight line fitted by least squares to the errors found over time.
//
// Times are months on an axis whose zero is the last calibration: earlier ones have times below 0, checks since then times
// above it. Errors are in the
// unit of the limit. The line must describe the error as it goes on from the last calibration: if that adjusted the device,
// the caller has taken the adjustment into account.
type Line struct {
	Points        int     // fitted, at least 3
	MeanMonths    float64 // mean of their times
	SumSquares    float64 // Σ(t − mean)², months²
	ErrorAtMean   float64 // fitted error at MeanMonths, which is the mean error
	SlopePerMonth float64 // change of the error per month
	ResidualSD    float64 // about the line, with Points − 2 degrees of freedom; 0 or more
}

// ControlChart proposes the time in which the prediction band of the drift first meets the limit.
//
// It assumes that the drift goes on as the straight line it was, and normally distributed residuals. It needs no failures:
// it speaks before the limit is reached.
//
// Source: ILAC-G24:2022 / OIML D 10:2022, 6.3, method 2 (heading read; wording from memory). The band is that of a single
// further reading, ŷ ± t·s·√(1 + 1/n + (x−x̄)²/Sxx), in any textbook on regression.
type ControlChart struct {
	Limit      float64 // maximum permissible error, holds as ±Limit
	Confidence float64 // two-sided level of the band, for example 0.95
	Bounds     Bounds
}

// Next proposes an interval for the line. An [*InputError] names what cannot be used.
func (c ControlChart) Next(currentMonths float64, l Line) (Proposal, error) {
	if err := c.check(currentMonths, l); err != nil {
		return Proposal{}, err
	}
	p := Proposal{
		Method: MethodControlChart, CurrentMonths: currentMonths,
		Confidence: figure.Known(c.Confidence),
	}
	t := distuv.StudentsT{Sigma: 1, Nu: float64(l.Points - 2)}.Quantile((1 + c.Confidence) / 2)
	horizon := c.Bounds.MaxMonths
	if horizon == 0 {
		horizon = longestMonths
	}
	band, met := l.meets(c.Limit, t*l.ResidualSD, horizon)
	line, lineMet := l.meets(c.Limit, 0, horizon)
	beyond := fmt.Sprintf("not within %s months", plain(horizon))
	p.rest(BandMeetsLimit, "months", figureIf(met, band, beyond))
	p.rest(LineMeetsLimit, "months", figureIf(lineMet, line, beyond))
	switch {
	case met && band == 0:
		p.Direction = Shorten
		p.because(fmt.Sprintf("The %s prediction band reaches the limit at the last calibration already; no interval keeps it inside.", percent(c.Confidence)))
		return p, nil
	case met:
		p.because(fmt.Sprintf("The %s prediction band meets the limit %s months after the last calibration.", percent(c.Confidence), plain(band)))
		p.propose(c.Bounds, band)
	case c.Bounds.MaxMonths != 0:
		p.because(fmt.Sprintf("The %s prediction band stays inside the limit for %s months, the upper bound.", percent(c.Confidence), plain(horizon)))
		p.propose(c.Bounds, horizon)
	default:
		p.Direction = None
		p.Confidence = figure.Absent("there is no proposal")
		p.because("The prediction band stays inside the limit for a century; without an upper bound there is nothing to propose.")
		return p, nil
	}
	if significant := math.Abs(l.SlopePerMonth)*math.Sqrt(l.SumSquares) > t*l.ResidualSD; !significant {
		p.because(fmt.Sprintf("The slope cannot be told from 0 at %s: the band widens from scatter and few points, not from a shown drift.", percent(c.Confidence)))
	}
	if l.Points < 6 {
		p.because(fmt.Sprintf("With %d points the line and its scatter are hardly known; the band is wide for that reason.", l.Points))
	}
	p.because("This supposes that the drift goes on as a straight line.")
	return p, nil
}

// meets returns the first time from 0 to the horizon at which the line, widened by a half-band of factor k, reaches ±limit.
//
// The widened line is convex in time on either side, so once it is inside at 0 it leaves at most once and bisection finds
// where.
func (l Line) meets(limit, k, horizon float64) (float64, bool) {
	outside := func(months float64) bool {
		u := months - l.MeanMonths
		half := k * math.Sqrt(1+1/float64(l.Points)+u*u/l.SumSquares)
		return math.Abs(l.ErrorAtMean+float64(l.SlopePerMonth*u))+half >= limit
	}
	if outside(0) {
		return 0, true
	}
	if !outside(horizon) {
		return 0, false
	}
	in, out := 0.0, horizon
	for range 200 {
		middle := in + (out-in)/2
		if middle <= in || middle >= out {
			break
		}
		if outside(middle) {
			out = middle
		} else {
			in = middle
		}
	}
	return out, true
}

func (c ControlChart) check(currentMonths float64, l Line) error {
	if err := checkMonths("current_months", currentMonths); err != nil {
		return err
	}
	if err := checkPositive("limit", c.Limit); err != nil {
		return err
	}
	if err := checkShare("confidence", c.Confidence); err != nil {
		return err
	}
	if l.Points < 3 {
		return &InputError{
			Field: "points", Found: fmt.Sprint(l.Points), Expected: "at least 3",
			Mend: "two points fit any line and leave no scatter to judge it by: wait for more calibrations",
		}
	}
	if !(l.SumSquares >= 1e-9 && l.SumSquares <= 1e12) {
		return &InputError{
			Field: "sum_squares", Found: fmt.Sprintf("%g", l.SumSquares), Expected: "months² from 1e-9 to 1e12",
			Mend: "a line needs points at different times",
		}
	}
	for _, f := range []struct {
		name        string
		value, most float64
	}{
		{"mean_months", l.MeanMonths, 1e6}, {"error_at_mean", l.ErrorAtMean, largest}, {"slope_per_month", l.SlopePerMonth, largest},
	} {
		if err := checkWithin(f.name, f.value, f.most); err != nil {
			return err
		}
	}
	if !(l.ResidualSD >= 0 && l.ResidualSD <= largest) {
		return &InputError{Field: "residual_sd", Found: fmt.Sprintf("%g", l.ResidualSD), Expected: "0 or more"}
	}
	return c.Bounds.check()
}

func figureIf(there bool, value float64, reason string) Figure {
	if there {
		return figure.Known(value)
	}
	return figure.Absent(reason)
}
