package growth

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// Straight is a constant, in µm, and a part per metre, in µm.
type Straight struct {
	ConstantUM, PerMetreUM Parameter
}

// Bound is the observed counterpart of a claim. The figures are absent together.
type Bound struct {
	// ConstantUM + PerMetreUM·L, neither negative, is what further errors stay within with the probability of the
	// settings, for paths between the shortest and the longest of the checks.
	ConstantUM, PerMetreUM Figure
	// ShareOfMPEAtShortest and ShareOfMPEAtLongest are the bound divided by the claim at the ends of that range; above 1
	// the device does worse than claimed.
	ShareOfMPEAtShortest, ShareOfMPEAtLongest Figure
}

// Support says whether the checks can speak about the claimed growth at all.
type Support struct {
	Enough bool
	Reason string // in words, with the figures it rests on
	// PathRatio is the longest path divided by the shortest; absent without checks.
	PathRatio Figure
	// GrowthSEUM is the standard error of the growth of the bound, in µm per metre: of the scale error and of the factor of
	// the coverage times the growth of the spread.
	GrowthSEUM Figure
}

// Growth is what checks over several paths say about a device.
type Growth struct {
	Points []Point // as given, with the limit at each path
	// Scale is the line of the signed errors: a constant (what is left at no length) and the scale error. The standard
	// errors take the estimated spread as known; the intervals allow for its shape being estimated too.
	Scale Straight
	// Spread is the standard deviation about it, neither part negative. Intervals from the profile of the likelihood; an
	// estimate of 0 lies on the boundary and has no standard error.
	Spread  Straight
	Bound   Bound
	Support Support
}

// The least that is asked of the checks: 10 for four parameters, and for the growth a longest path of twice the
// shortest and a standard error of half the claim. Common practice in planning calibrations, no source.
const (
	fewest       = 10
	leastRatio   = 2.0
	tellingShare = 0.5
)

// Estimate fits scale error, spread and bound to the checks, in any order.
//
// An error is returned for a path, an error, a claim or a setting out of its range. Too few checks, a single path or
// errors without scatter are no error: the figures are absent and say so.
func Estimate(checks []Check, claim Claim, settings Settings) (Growth, error) {
	settings, err := settings.filled()
	if err != nil {
		return Growth{}, err
	}
	if err := examine(checks, claim); err != nil {
		return Growth{}, err
	}
	g := Growth{Points: make([]Point, 0, len(checks))}
	shortest, longest := math.Inf(1), 0.0
	for _, c := range checks {
		g.Points = append(g.Points, Point{PathM: c.PathM, ErrorUM: c.ErrorUM, MPEUM: claim.AtUM(c.PathM)})
		shortest, longest = min(shortest, c.PathM), max(longest, c.PathM)
	}
	g.Support.PathRatio = figure.Absentf("no checks")
	if len(checks) > 0 {
		g.Support.PathRatio = figure.Known(longest / shortest)
	}
	if len(checks) < fewest {
		return g.without("%d checks, expected at least %d to tell a constant and a growth of both line and spread", len(checks), fewest), nil
	}
	if longest-shortest <= 1e-9*longest {
		return g.without("all %d checks are over %g m; check over different paths", len(checks), longest), nil
	}
	s := newSample(checks)
	if s.noScatter() {
		return g.without("the errors show no scatter about a line; read them more finely"), nil
	}
	sd, top := s.best()
	l, _ := s.fit(sd)
	g.Scale = s.scale(l, top, settings.Level)
	g.Spread = s.spread(sd, top, settings.Level)
	constant, slope := s.envelope(l, sd, settings.Coverage, shortest/s.unit, longest/s.unit)
	bound := Claim{constant, slope / s.unit}
	g.Bound = Bound{
		ConstantUM: figure.Known(bound.ConstantUM), PerMetreUM: figure.Known(bound.PerMetreUM),
		ShareOfMPEAtShortest: figure.Known(bound.AtUM(shortest) / claim.AtUM(shortest)),
		ShareOfMPEAtLongest:  figure.Known(bound.AtUM(longest) / claim.AtUM(longest)),
	}
	g.support(claim, settings)
	return g, nil
}

// without fills every figure with the reason why there is none.
func (g Growth) without(format string, args ...any) Growth {
	reason := fmt.Sprintf(format, args...)
	p, f := unknown(reason), figure.Absentf("%s", reason)
	g.Scale, g.Spread = Straight{p, p}, Straight{p, p}
	g.Bound = Bound{f, f, f, f}
	g.Support.Reason, g.Support.GrowthSEUM = reason, f
	return g
}

// noScatter says that the errors lie on a line but for rounding, or for less than anybody can measure.
func (s sample) noScatter() bool {
	const noise, finest = 0x1p-48, 1e-12 // of the largest error; µm
	_, rest := s.fit(spread{constant: 1})
	largest := 0.0
	for _, e := range s.e {
		largest = max(largest, math.Abs(e))
	}
	return math.Sqrt(rest/float64(len(s.e))) <= max(noise*largest, finest)
}

func (s sample) scale(l line, top, level float64) Straight {
	m := s.mixture(top)
	around := func(unit float64, of func(line) (estimate, variance float64)) Parameter {
		estimate, variance := of(l)
		lower, upper := m.interval(level, of)
		return Parameter{
			Estimate: figure.Known(estimate / unit), SE: figure.Known(math.Sqrt(variance) / unit),
			Lower: figure.Known(min(lower, estimate) / unit), Upper: figure.Known(max(upper, estimate) / unit),
		}
	}
	return Straight{
		ConstantUM: around(1, func(l line) (float64, float64) { return l.at(0), l.variance(0) }),
		PerMetreUM: around(s.unit, func(l line) (float64, float64) { return l.slope, l.ofSlope }),
	}
}

func (s sample) spread(sd spread, top, level float64) Straight {
	z := normalQuantile(level)
	size := sd.at(1)
	constantAlone, slopeAlone := s.scaled(0).constant, s.scaled(1).slope
	lowC, highC := s.interval(top, z, sd.constant, size, slopeAlone, func(fixed, free float64) spread { return spread{fixed, free} })
	lowS, highS := s.interval(top, z, sd.slope, size, constantAlone, func(fixed, free float64) spread { return spread{free, fixed} })
	ofConstant, ofSlope := s.errorsOf(sd)
	return Straight{
		ConstantUM: Parameter{figure.Known(sd.constant), ofConstant, figure.Known(lowC), figure.Known(highC)},
		PerMetreUM: Parameter{figure.Known(sd.slope / s.unit), ofSlope, figure.Known(lowS / s.unit), figure.Known(highS / s.unit)},
	}
}

// errorsOf returns the standard errors of constant and slope from the expected information under the normal law, with
// n−2 in place of n checks.
func (s sample) errorsOf(sd spread) (constant, perMetre Figure) {
	if sd.constant == 0 || sd.slope == 0 {
		f := figure.Absentf("the estimate of the constant or of the growth lies on its boundary, 0; see the interval")
		return f, f
	}
	var a, b, c float64
	for _, x := range s.x {
		w := 2 / (sd.at(x) * sd.at(x))
		a += w
		b += float64(w * x)
		c += w * x * x
	}
	n := float64(len(s.x))
	scale := n / (n - 2) / (float64(a*c) - float64(b*b))
	return figure.Known(math.Sqrt(c * scale)), figure.Known(math.Sqrt(a*scale) / s.unit)
}

// support judges the reach of the checks. The standard error of the growth of the spread is taken from the upper end of
// its interval, which is there also when the estimate is on its boundary.
func (g *Growth) support(claim Claim, settings Settings) {
	growth := g.Spread.PerMetreUM
	ofSpread := (*growth.Upper.Value - *growth.Estimate.Value) / normalQuantile(settings.Level)
	se := math.Hypot(*g.Scale.PerMetreUM.SE.Value, normalQuantile(settings.Coverage)*ofSpread)
	g.Support.GrowthSEUM = figure.Known(se)
	ratio := *g.Support.PathRatio.Value
	switch {
	case claim.PerMetreUM == 0:
		g.Support.Enough = true
		g.Support.Reason = "the claim does not grow with the path"
	case ratio < leastRatio:
		g.Support.Reason = fmt.Sprintf("the longest path is %.3g times the shortest, expected at least %g times; check over longer or shorter paths too",
			ratio, leastRatio)
	case se > tellingShare*claim.PerMetreUM:
		g.Support.Reason = fmt.Sprintf("the growth is known to %.3g µm per metre (standard error), expected at most half of the claimed %g; "+
			"check over longer paths or more often", se, claim.PerMetreUM)
	default:
		g.Support.Enough = true
		g.Support.Reason = fmt.Sprintf("the growth is known to %.3g µm per metre (standard error), at most half of the claimed %g", se, claim.PerMetreUM)
	}
}
