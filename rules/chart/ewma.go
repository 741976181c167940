package chart

import "math"

// EWMA charts single values by their exponentially weighted moving average
// z_i = λ·x_i + (1-λ)·z_{i-1}, which starts at the target in every segment. The
// limits of point i lie L·σ·√(λ/(2-λ)·(1-(1-λ)^2i)) either side of the target;
// Segment.Limits are those they approach (Roberts 1959, Technometrics 1,
// 239-250; NIST/SEMATECH e-Handbook 6.3.2.4, with the limits of each point
// exact). Weight and Width of the settings are λ and L. Target and σ are
// Settings.Given, or else mean and spread of the baseline, estimated as for
// Individuals.
//
// Point.Value is the value, Point.Statistic the average. There is no chart of
// dispersion, and only the chart's own limits signal. Without limits (one
// point, no spread) the average about the mean of the baseline is still told.
// Errors are as for Individuals.
func EWMA(values []float64, s Settings) (Chart, error) { return singles(KindEWMA, values, s) }

// average adds a value to the average and judges it.
func (c *course) average(p *Point, s Scheme, numbers []int) {
	c.mean += float64(s.Weight * (p.Value - c.mean))
	p.Statistic = c.mean
	if c.ground.sigma == 0 {
		return
	}
	p.Limits = c.limit
	if !c.reached {
		c.fade = float64(c.fade * (1 - s.Weight) * (1 - s.Weight))
		// Half a unit in the last place of 1: the limits stand still from here on.
		if c.reached = c.fade < 0x1p-54; !c.reached {
			p.Limits = averageLimits(c.ground, s, c.fade)
		}
	}
	if compare(p.Statistic, p.Limits.Lower, p.Limits.Upper, c.ground.same) != 0 {
		p.Signals = []Signal{{PointBeyond, numbers[p.N-1 : p.N : p.N]}}
	}
}

// averageLimits returns the limits of an average whose fade is (1-λ)^2i.
func averageLimits(g ground, s Scheme, fade float64) *Limits {
	sigma := g.sigma * math.Sqrt(s.Weight/(2-s.Weight)*(1-fade))
	half := float64(s.Width * sigma)
	return &Limits{Centre: g.centre, Sigma: sigma, Lower: g.centre - half, Upper: g.centre + half}
}
