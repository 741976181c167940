package chart

// Kind names a kind of control chart.
type Kind string

// KindIndividuals is the chart of single values with their moving ranges.
const KindIndividuals Kind = "individuals"

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
	// Tests are the run tests to apply.
	Tests Tests
}

// Given is the centre and the standard deviation of a single value when they
// are known from elsewhere. Sigma is greater than 0.
type Given struct{ Centre, Sigma float64 }

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
	// Range are the points of the chart of dispersion, here the moving ranges.
	// The first point of a segment has none, so N tells where each belongs.
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
	// the segment has no limits; a warning says why.
	Limits, Range *Limits
	// Provisional is true when limits exist but rest on fewer points than asked for.
	Provisional bool
}

// Limits are a centre line and control limits three Sigma either side of it;
// a lower limit of a range that would be negative is 0.
type Limits struct {
	Centre, Lower, Upper float64
	// Sigma is the standard deviation of what is plotted, greater than 0.
	Sigma float64
}

// Point is one plotted point.
type Point struct {
	// N is the number of the point, counted from 1.
	N int
	// Segment is the index, from 0, of the point's segment.
	Segment int
	Value   float64
	// Limits judge this point; nil when there are none.
	Limits *Limits
	// Signals are the tests that signal at this point, in the order of Tests.
	Signals []Signal
}

// Signal is a run test that spoke at a point.
type Signal struct {
	Test Test
	// Points number the points, counted from 1, that make up the pattern; the
	// last is the signalling point itself.
	Points []int
}
