package chart

import (
	"cmp"
	"fmt"
	"slices"
)

// State is a chart that grows point by point. It is not safe for use by several
// goroutines at once.
type State struct {
	engine  *engine
	restart bool // the next point begins a segment
}

// NewState returns a chart without points. Settings.Kind says of which kind it
// is; Settings.Restart may name points to come. An error is returned for
// settings that contradict themselves.
func NewState(s Settings) (*State, error) {
	kind := cmp.Or(s.Kind, KindIndividuals)
	if !slices.Contains(Kinds(), kind) {
		return nil, fmt.Errorf("a chart of kind %q; expected one of %q", kind, Kinds())
	}
	s.Restart = slices.Clone(s.Restart)
	e, err := newEngine(kind, s)
	if err != nil {
		return nil, err
	}
	return &State{engine: e}, nil
}

// Restart makes the next point the first of a new segment, as an index in
// Settings.Restart does.
func (s *State) Restart() { s.restart = true }

// Append adds a point, a single value or the readings of a sample, and returns
// the chart so far: the same as if all points were charted at once. The chart
// shares memory with the state and is good until the next call.
//
// The work does not depend on the number of points, once the baseline of the
// segment is complete or when centre and sigma are given; before, and always if
// the baseline is all points of the segment, the segment is computed anew. It
// grows with the number of segments, whose warnings are put together.
//
// On an error, as for the functions of the kinds, the state stays as it was.
func (s *State) Append(readings ...float64) (Chart, error) {
	e := s.engine
	i := len(e.values)
	before := e.mark()
	if err := e.take(readings, i); err != nil {
		return Chart{}, err
	}
	e.number()
	_, named := slices.BinarySearch(e.settings.Restart, i)
	fresh := i == 0 || named || s.restart
	if fresh {
		e.begin(i)
	}
	if err := e.extend(i, fresh); err != nil {
		return Chart{}, e.rollback(before, err)
	}
	s.restart = false
	return e.finish(), nil
}

// take checks and notes the value or the sample of a point.
func (e *engine) take(readings []float64, i int) error {
	if e.kind.sampled() {
		readings = slices.Clone(readings)
		if err := e.takeSample(readings, i); err != nil {
			return err
		}
		e.samples = append(e.samples, readings)
		return nil
	}
	if len(readings) != 1 {
		return fmt.Errorf("%d values at index %d; expected a single value for a chart of kind %q", len(readings), i, e.kind)
	}
	if err := checkValue(readings[0], i); err != nil {
		return err
	}
	e.values = append(e.values, readings[0])
	return nil
}

// extend judges a point taken in, with the baseline it belongs to or completes.
func (e *engine) extend(i int, fresh bool) error {
	if fresh || e.open(i) {
		return e.redo(i + 1)
	}
	return e.judge(i)
}

// open reports that a point of the last segment belongs to its baseline.
func (e *engine) open(i int) bool {
	s := e.settings
	first := e.chart.Segments[len(e.chart.Segments)-1].First - 1
	return s.Given == nil && (s.Baseline == 0 || i-first < s.Baseline)
}

// mark is what a failed point has to leave as it was.
type mark struct {
	engine  engine
	segment Segment
	ground  ground
	moments moments
}

func (e *engine) mark() mark {
	m := mark{engine: *e}
	if last := len(e.chart.Segments) - 1; last >= 0 {
		m.segment, m.ground, m.moments = e.chart.Segments[last], e.grounds[last], e.moments[last]
	}
	return m
}

// rollback undoes a failed point and returns why it failed.
func (e *engine) rollback(m mark, why error) error {
	*e = m.engine
	end := len(e.values)
	last := len(e.chart.Segments) - 1
	if last < 0 {
		return why
	}
	e.chart.Segments[last], e.grounds[last], e.moments[last] = m.segment, m.ground, m.moments
	if e.open(end) {
		// Its points may be overwritten. What was computed once can be again.
		_ = e.redo(end)
	}
	return why
}
