package chart

// Settings say how a chart is computed. The zero value computes limits from
// all points of a segment and runs no tests; Nelson gives the usual tests.
type Settings struct {
	// Kind is the kind of chart; empty means the kind of the function called.
	Kind Kind
	// Baseline is the number of points, from the start of each segment, that
	// centre and limits are computed from. 0 means all points of the segment.
	Baseline int
	// Minimum is the number of baseline points below which limits are
	// provisional. 0 means DefaultMinimum.
	Minimum int
	// Restart holds the indexes, from 0 and ascending, of the points at which a
	// new segment begins, for example the first point after an adjustment.
	Restart []int
	// Given holds centre and standard deviation known beforehand. They then
	// serve every segment and nothing is estimated from the values.
	Given *Given
	// Tests are the run tests to apply to single values and to means. EWMA and
	// CUSUM ignore them: there the chart's own limits judge, and always.
	Tests Tests
	// Spread says how single values (also of EWMA and CUSUM) yield sigma;
	// empty means SpreadMovingRange. The charts of means have their own way.
	Spread Spread
	// Widened moves the control limits of single values and of means outward,
	// as far as the baseline is short, so that the next point of a process in
	// control lies beyond them with the probability 0.0027 of known limits.
	// Sigma, with it the zones of the run tests, and the limits of the
	// dispersion stay as they are. It is refused for EWMA and CUSUM.
	Widened bool
	// Weight is the weight λ of the newest value in an EWMA, above 0 and at
	// most 1; 0 means DefaultWeight. Width is the distance L of its limits from
	// the centre in standard deviations of the average; 0 means DefaultWidth.
	Weight, Width float64
	// Reference, Decision and HeadStart are k, h and the first value of both
	// sums of a CUSUM in units of sigma. A Reference or Decision of 0 means
	// DefaultReference or DefaultDecision; the sums start at 0 unless HeadStart,
	// which is below Decision, says otherwise.
	Reference, Decision, HeadStart float64
}

// Given is the centre and the standard deviation of a single value when they
// are known from elsewhere. Sigma is greater than 0.
type Given struct{ Centre, Sigma float64 }

// Defaults of Settings: common textbook values. With centre and sigma known, a
// process in control then raises a false alarm every 554 points on average with
// an EWMA and every 465 with a CUSUM (see RunLength).
const (
	DefaultWeight    = 0.2
	DefaultWidth     = 3.0
	DefaultReference = 0.5
	DefaultDecision  = 5.0
)

// DefaultMinimum is the shortest baseline whose limits are not called
// provisional unless Settings say otherwise. With 8 points a limit of three
// estimated standard deviations raises a false alarm about ten times as often
// as intended (see FalseAlarm). The choice of 8 is our own, without a source.
const DefaultMinimum = 8

// Chart is the result for every kind of chart.
type Chart struct {
	Kind Kind
	// Segments are the stretches between restarts, in order, at least one.
	Segments []Segment
	// Points are the charted values, one for each value, in order.
	Points []Point
	// Range are the points of the chart of dispersion: moving ranges, sample
	// ranges or sample standard deviations; none for EWMA and CUSUM. The first
	// single value of a segment has no moving range, so N tells where each belongs.
	Range []Point
	// Warnings tell on how thin a ground the limits stand, by segment.
	Warnings []Warning
}

// Current returns the last segment, whose limits the next point will meet.
func (c Chart) Current() Segment { return c.Segments[len(c.Segments)-1] }

// Signalling returns how many points of the chart of values carry a signal.
func (c Chart) Signalling() int { return signalling(c.Points) }

// RangeSignalling returns how many points of the chart of dispersion carry a signal.
func (c Chart) RangeSignalling() int { return signalling(c.Range) }

func signalling(points []Point) int {
	count := 0
	for _, p := range points {
		if len(p.Signals) > 0 {
			count++
		}
	}
	return count
}

// Segment is a stretch of points judged by limits of its own.
type Segment struct {
	// First and Last number the points of the segment, counted from 1.
	First, Last int
	// Baseline is the number of points the limits rest on; 0 when they were given.
	Baseline int
	// Limits belong to the values, Range to the dispersion. Both are nil when
	// the segment has no limits; a warning says why. Where sample sizes differ,
	// they are those of the segment's last point; for an EWMA they are those
	// that the limits of its points approach.
	Limits, Range *Limits
	// Sigma is the standard deviation of a single value that the limits rest
	// on, estimated or given; 0 without limits.
	Sigma float64
	// Provisional is true when limits exist but rest on fewer points than asked for.
	Provisional bool
	// Step is how far the values moved from the segment before to this one; nil
	// in the first segment.
	Step *Step
}

// Limits are a centre line and control limits three Sigma either side of it,
// unless Settings.Widened, Width or Decision say otherwise; a lower limit of a
// dispersion that would be negative is 0. For a CUSUM the centre is 0, and
// -Lower = Upper is the decision value that either sum is compared with.
type Limits struct {
	Centre, Lower, Upper float64
	// Sigma is the standard deviation of what is plotted, greater than 0; for a
	// CUSUM that of the single value.
	Sigma float64
}

// Point is one plotted point.
type Point struct {
	// N is the number of the point, counted from 1.
	N int
	// Segment is the index, from 0, of the point's segment.
	Segment int
	// Value is the single value, the mean of the sample, or its dispersion.
	Value float64
	// Statistic is what Limits are compared with: Value itself, or the weighted
	// average of an EWMA; 0 for a CUSUM, which has two.
	Statistic float64
	// High and Low are the upper and the lower sum of a CUSUM, neither below 0:
	// High is compared with Limits.Upper, and -Low with Limits.Lower. They are 0
	// without limits, and for other kinds.
	High, Low float64
	// Limits judge this point; nil when there are none.
	Limits *Limits
	// Signals are the tests that signal at this point, in the order of Tests.
	// A point of an EWMA beyond its limits signals PointBeyond.
	Signals []Signal
}

// Signal is a run test that spoke at a point.
type Signal struct {
	Test Test
	// Points number the points, counted from 1, that make up the pattern; the
	// last is the signalling point itself.
	Points []int
}
