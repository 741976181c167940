package chart

// CUSUM charts single values by their two cumulative sums
//
//	high_i = max(0, high_{i-1} + x_i - target - k·σ)
//	low_i  = max(0, low_{i-1} + target - k·σ - x_i)
//
// which start at the head start in every segment; a sum above h·σ signals
// (Page 1954, Biometrika 41, 100-115; NIST/SEMATECH e-Handbook 6.3.2.3; head
// start of Lucas and Crosier 1982, Technometrics 24, 199-205). Reference,
// Decision and HeadStart of the settings are k, h and the head start in units
// of σ; values fixed in the unit of the data are divided by Given.Sigma. Target
// and σ are Settings.Given, or else mean and spread of the baseline, estimated
// as for Individuals.
//
// After a signal the sums go on; a caller who has removed the cause restarts
// the chart. A signal names the sum by its test, HighSum or LowSum, and its
// points are those since the sum was last 0: the first of them is the usual
// estimate of when the process moved. Sums below the rounding of the values are
// 0. There is no chart of dispersion. Errors are as for Individuals.
func CUSUM(values []float64, s Settings) (Chart, error) { return singles(KindCUSUM, values, s) }

// accumulate adds a value to both sums and judges them.
func (c *course) accumulate(p *Point, s Scheme, numbers []int) {
	p.Statistic = 0
	g := c.ground
	if g.sigma == 0 {
		return
	}
	p.Limits = c.limit
	k := float64(s.Reference * g.sigma)
	off := p.Value - g.centre
	p.High = sum(&c.high, off-k, &c.highFrom, p.N, g.same)
	p.Low = sum(&c.low, -off-k, &c.lowFrom, p.N, g.same)
	if p.High > c.limit.Upper+g.same {
		p.Signals = append(p.Signals, Signal{HighSum, numbers[c.highFrom:p.N:p.N]})
	}
	if p.Low > c.limit.Upper+g.same {
		p.Signals = append(p.Signals, Signal{LowSum, numbers[c.lowFrom:p.N:p.N]})
	}
}

// sum adds to a sum; at 0 it notes that it can leave 0 at the next point, n.
func sum(total *float64, add float64, from *int, n int, same float64) float64 {
	if *total += add; *total <= same {
		*total, *from = 0, n
	}
	return *total
}
