package chart

import (
	"fmt"
	"math"
)

// engine computes a chart point by point. All kinds, and charts made at once
// as well as those that grow, go through it.
type engine struct {
	kind     Kind
	settings Settings
	scheme   Scheme // with defaults filled in

	values  []float64   // single values, or means of samples
	samples [][]float64 // the samples; empty for single values
	spreads []float64   // their ranges or standard deviations
	numbers []int       // 1, 2, 3 …, which signals share by slicing

	chart   Chart
	grounds []ground  // of each segment
	ranges  []int     // index into chart.Range where each segment begins
	moments []moments // of the values of each segment
	course  course    // of the last segment
	factors map[int]factors
	lengths map[float64]float64 // average run lengths told in warnings, by shift
}

func newEngine(kind Kind, s Settings) (*engine, error) {
	if err := s.check(kind); err != nil {
		return nil, err
	}
	e := &engine{kind: kind, settings: s, factors: map[int]factors{}, lengths: map[float64]float64{}}
	e.settings.Kind = kind
	e.scheme = e.settings.Scheme().complete()
	e.chart.Kind = kind
	if kind.shewhart() {
		e.chart.Range = []Point{}
	}
	return e, nil
}

// bounds returns the starts of the segments and the end of the last.
func (e *engine) bounds() []int {
	bounds := []int{0}
	for _, at := range e.settings.Restart {
		if at > 0 {
			bounds = append(bounds, at)
		}
	}
	return append(bounds, len(e.values))
}

// all computes the whole chart from values or samples already taken in.
func (e *engine) all() (Chart, error) {
	if len(e.values) == 0 {
		return Chart{}, fmt.Errorf("no values; expected at least one")
	}
	if err := e.settings.checkRestarts(len(e.values)); err != nil {
		return Chart{}, err
	}
	e.chart.Points = make([]Point, 0, len(e.values))
	if e.kind.shewhart() {
		e.chart.Range = make([]Point, 0, len(e.values))
	}
	e.number()
	bounds := e.bounds()
	for i := range len(bounds) - 1 {
		e.begin(bounds[i])
		if err := e.redo(bounds[i+1]); err != nil {
			return Chart{}, err
		}
	}
	return e.finish(), nil
}

// number extends the list of point numbers to the points taken in.
func (e *engine) number() {
	for len(e.numbers) < len(e.values) {
		e.numbers = append(e.numbers, len(e.numbers)+1)
	}
}

// begin opens a segment at a point.
func (e *engine) begin(first int) {
	e.finishStep()
	e.chart.Segments = append(e.chart.Segments, Segment{First: first + 1, Last: first})
	e.grounds = append(e.grounds, ground{})
	e.ranges = append(e.ranges, len(e.chart.Range))
	e.moments = append(e.moments, moments{})
}

// redo computes the last segment anew from its baseline on, up to end.
func (e *engine) redo(end int) error {
	last := len(e.chart.Segments) - 1
	segment := &e.chart.Segments[last]
	first := segment.First - 1
	*segment = Segment{First: first + 1, Last: first}
	g, err := e.groundOf(first, end)
	if err != nil {
		return err
	}
	e.chart.Points = e.chart.Points[:first]
	e.chart.Range = e.chart.Range[:e.ranges[last]]
	segment.Baseline = g.count
	segment.Provisional = g.sigma > 0 && g.count > 0 && (g.count < e.settings.minimum() || g.count < e.settings.Baseline)
	e.grounds[last], e.moments[last] = g, moments{}
	e.course = e.newCourse(g, first)
	if g.sigma > 0 && !e.course.finite() {
		return tooLarge(first, end)
	}
	e.grounds[last].notes = e.notes(g)
	for i := first; i < end; i++ {
		if err := e.judge(i); err != nil {
			return err
		}
	}
	return nil
}

// groundOf returns the given or the estimated ground of a segment.
func (e *engine) groundOf(first, end int) (ground, error) {
	if given := e.settings.Given; given != nil {
		return ground{
			centre: given.Centre, sigma: given.Sigma,
			same: rounding(given.Sigma, math.Abs(given.Centre)),
		}, nil
	}
	return e.estimate(first, min(end, first+e.settings.baseline(end-first)))
}

// judge adds the point of a value to the chart. Every point before it has been.
func (e *engine) judge(i int) error {
	last := len(e.chart.Segments) - 1
	segment := &e.chart.Segments[last]
	p := Point{N: i + 1, Segment: last, Value: e.values[i], Statistic: e.values[i]}
	switch e.kind {
	case KindEWMA:
		e.course.average(&p, e.scheme, e.numbers)
	case KindCUSUM:
		e.course.accumulate(&p, e.scheme, e.numbers)
	default:
		e.course.shewhart(e, &p)
	}
	if !finite(p.Statistic, p.High, p.Low) {
		return tooLarge(segment.First-1, i+1)
	}
	e.chart.Points = append(e.chart.Points, p)
	if err := e.judgeSpread(i, segment); err != nil {
		return err
	}
	segment.Last = i + 1
	segment.Limits, segment.Range = e.course.lines()
	segment.Sigma = 0
	if segment.Limits != nil {
		segment.Sigma = e.course.ground.sigma
	}
	e.moments[last].add(p.Value)
	return nil
}

// judgeSpread adds the point of the dispersion of a value. Of the tests only
// PointBeyond is applied: neighbouring moving ranges share a value, and no
// dispersion is distributed evenly about its centre.
func (e *engine) judgeSpread(i int, segment *Segment) error {
	if !e.kind.shewhart() || e.kind == KindIndividuals && i < segment.First {
		return nil
	}
	p := Point{N: i + 1, Segment: len(e.chart.Segments) - 1, Limits: e.course.now.spread}
	if e.kind == KindIndividuals {
		p.Value = math.Abs(e.values[i] - e.values[i-1])
	} else {
		p.Value = e.spreads[i]
	}
	if !finite(p.Value) {
		return tooLarge(segment.First-1, i+1)
	}
	p.Statistic = p.Value
	if l := p.Limits; l != nil && e.settings.Tests.PointBeyond && compare(p.Value, l.Lower, l.Upper, e.course.ground.same) != 0 {
		p.Signals = []Signal{{PointBeyond, e.numbers[i : i+1 : i+1]}}
	}
	e.chart.Range = append(e.chart.Range, p)
	return nil
}

// finish returns the chart so far.
func (e *engine) finish() Chart {
	e.finishStep()
	e.chart.Warnings = e.warnings()
	return e.chart
}

// finishStep measures the step at the start of the last segment.
func (e *engine) finishStep() {
	if last := len(e.chart.Segments) - 1; last > 0 {
		e.chart.Segments[last].Step = step(e.moments[last-1], e.moments[last])
	}
}

func tooLarge(first, end int) error {
	return fmt.Errorf("points %d to %d are too large to chart; expected values below 1e300", first+1, end)
}
