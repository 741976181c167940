package chart

import "math"

// lines are the limits of samples of one size.
type lines struct {
	size          int
	value, spread *Limits
}

// course is the running state of a segment.
type course struct {
	ground ground
	kind   Kind
	first  int // index of the segment's first point
	now    lines
	sizes  map[int]lines
	runs   runs

	mean, fade float64 // the average of an EWMA, and (1-λ)^2i
	limit      *Limits // that its limits approach
	reached    bool    // they have

	high, low         float64 // the sums of a CUSUM
	highFrom, lowFrom int     // indexes at which they last left 0
}

// newCourse prepares to judge the points of a segment from its ground.
func (e *engine) newCourse(g ground, first int) course {
	c := course{ground: g, kind: e.kind, first: first, mean: g.centre, fade: 1, highFrom: first, lowFrom: first}
	if g.sigma == 0 {
		return c
	}
	switch e.kind {
	case KindIndividuals:
		c.now = lines{1, valueLimits(g, 1), rangeLimits(g.sigma*(2/math.Sqrt(math.Pi)), g.sigma*math.Sqrt(2-4/math.Pi))}
	case KindEWMA:
		c.limit = averageLimits(g, e.scheme, 0)
	case KindCUSUM:
		c.high = float64(e.scheme.HeadStart * g.sigma)
		c.low = c.high
		h := float64(e.scheme.Decision * g.sigma)
		c.limit = &Limits{Sigma: g.sigma, Lower: -h, Upper: h}
	default:
		c.sizes = map[int]lines{}
		c.now = e.linesOf(&c, len(e.samples[first]))
	}
	return c
}

// linesOf returns the limits of samples of a size.
func (e *engine) linesOf(c *course, n int) lines {
	if c.now.size == n {
		return c.now
	}
	l, ok := c.sizes[n]
	if !ok {
		f := e.factorsOf(n)
		l = lines{n, valueLimits(c.ground, n), rangeLimits(c.ground.sigma*f.mean, c.ground.sigma*f.deviation)}
		c.sizes[n] = l
	}
	return l
}

// valueLimits returns the limits of single values (n of 1) or means of n.
func valueLimits(g ground, n int) *Limits {
	sigma := g.sigma / math.Sqrt(float64(n))
	half := float64(3 * sigma)
	if g.wide > 0 {
		half = float64(g.wide * math.Sqrt(1/float64(n)+1/float64(g.readings)))
	}
	return &Limits{Centre: g.centre, Sigma: sigma, Lower: g.centre - half, Upper: g.centre + half}
}

// lines returns the limits of the segment as a whole.
func (c *course) lines() (value, spread *Limits) {
	if c.limit != nil {
		return c.limit, nil
	}
	return c.now.value, c.now.spread
}

// finite reports that no limit overflowed.
func (c *course) finite() bool {
	value, spread := c.lines()
	for _, l := range []*Limits{value, spread} {
		if l != nil && !finite(l.Upper-l.Lower) {
			return false
		}
	}
	return true
}

// shewhart judges a single value or a mean by itself and by the run tests.
func (c *course) shewhart(e *engine, p *Point) {
	if c.ground.sigma == 0 {
		return
	}
	if e.kind.sampled() {
		c.now = e.linesOf(c, len(e.samples[p.N-1]))
	}
	p.Limits = c.now.value
	c.runs.judge(e.settings.Tests, p, e.numbers, c.ground.same)
}
