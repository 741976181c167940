package drift

import (
	"math"

	"plumbrule/rules/figure"
)

// Crossings are the places where a line and its bands meet a limit, in the unit of x.
type Crossings struct {
	Limit, Level float64 // as asked for
	// Estimate is where the fitted line meets the limit; absent if the line is level.
	Estimate Figure
	// Confidence holds the x at which the true line is at the limit, Prediction the x at which one reading at the limit
	// was taken. Prediction.Lower is where a further reading first may be at the limit: the date to act by.
	Confidence, Prediction Meeting
}

// Meeting is an interval of x between the first and the last place where a band meets the limit. The ends are absent
// together, and then say why.
type Meeting struct {
	Lower, Upper Figure
}

// Crossings returns where the line and its two-sided bands at the level, 0.5 … 0.9999, meet a limit. The bands meet it at
// two places, one either side of the estimate, only if the slope is significant at the level; if not, they open faster
// than the line rises, a place would be an artefact of their shape, and none is given.
//
// An error is returned for another level and a limit that is not finite.
//
// Source: Graybill and Iyer (1994), 6.2; Greenwell and Schubert Kabban (2014) (inversion interval; Fieller).
func (l Line) Crossings(limit, level float64) (Crossings, error) {
	if err := checkLevel(level); err != nil {
		return Crossings{}, err
	}
	if err := checkNumber("limit is", limit); err != nil {
		return Crossings{}, err
	}
	c := Crossings{Limit: limit, Level: level, Estimate: l.reaches(limit)}
	var none Figure
	switch band := l.slopeBand(level); {
	case l.Exact:
		none = figure.Absentf(noScatter)
	case !band.excludesZero():
		none = figure.Absentf("the slope, %.3g, is not significant at %g: its interval, %.3g to %.3g, includes 0; wait for more points",
			l.Slope, level, *band.Lower.Value, *band.Upper.Value)
	default:
		c.Confidence, c.Prediction = l.meets(limit, level, 0), l.meets(limit, level, 1)
		return c, nil
	}
	c.Confidence, c.Prediction = Meeting{none, none}, Meeting{none, none}
	return c, nil
}

func (l Line) reaches(limit float64) Figure {
	if l.Slope == 0 {
		return figure.Absentf("the fitted line is level")
	}
	return place(l.XMean+(limit-l.AtMean)/l.Slope, l.Slope)
}

// place keeps a division by next to nothing from coming out as a figure.
func place(x, slope float64) Figure {
	if !(math.Abs(x) <= largest) {
		return figure.Absentf("the slope, %.3g, is too small to meet the limit anywhere", slope)
	}
	return figure.Known(x)
}

// meets solves (h − b·d)² = t²s²(reading + 1/n + d²/Sxx) for d = x − x̄, h being the height of the limit over the line at
// x̄. The slope must be significant at the level: then the leading coefficient is positive and there are two solutions.
func (l Line) meets(limit, level, reading float64) Meeting {
	t := coverage(level, l.N-2)
	spread := float64(t*l.ResidualSD) * float64(t*l.ResidualSD)
	h := limit - l.AtMean
	lead := float64(l.Slope*l.Slope) - spread/l.sxx
	half := l.Slope * h
	rest := float64(h*h) - spread*(reading+1/float64(l.N))
	// Written out, half² − lead·rest is a sum of positive terms; so nothing cancels under the root.
	root := math.Sqrt(spread * (lead*(reading+1/float64(l.N)) + float64(h*h)/l.sxx))
	// Of the two solutions the one without cancellation is computed, the other follows from their product, rest/lead.
	far := half + math.Copysign(root, half)
	a, b := far/lead, rest/far
	return Meeting{Lower: place(l.XMean+min(a, b), l.Slope), Upper: place(l.XMean+max(a, b), l.Slope)}
}

// FirstOrderSE returns the standard error of the x at which one reading y was taken, to first order (the delta method,
// also named after Wald), in the unit of x. It is for comparison with sources that print it: the interval ± t of it is
// symmetrical, and too short where the slope is uncertain. Absent for a level or an exact line.
//
// Source: Greenwell and Schubert Kabban (2014).
func (l Line) FirstOrderSE(y float64) Figure {
	x := l.reaches(y)
	switch {
	case x.Value == nil:
		return x
	case l.Exact:
		return figure.Absentf(noScatter)
	}
	d := *x.Value - l.XMean
	return place(l.ResidualSD/math.Abs(l.Slope)*math.Sqrt(1+1/float64(l.N)+float64(d*d)/l.sxx), l.Slope)
}
