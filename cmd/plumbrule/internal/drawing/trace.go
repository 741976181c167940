package drawing

import (
	"slices"

	"plumbrule/rules/chart"
)

// trace is a row of points that belong together.
type trace struct {
	points []chart.Point
	place  func(chart.Point) float64       // where a point is drawn; nil: at its value
	tests  []chart.Test                    // whose signals it shows; empty: of all
	mute   bool                            // it shows no signals
	faint  bool                            // single values behind their average: small points without a line
	told   func(chart.Point) []namedFigure // figures of a point in words; nil: its value
}

// namedFigure is a figure with what is put before it in words.
type namedFigure struct {
	name  string
	value float64
}

func (t trace) at(p chart.Point) float64 {
	if t.place == nil {
		return p.Value
	}
	return t.place(p)
}

// spoken returns the signals of a point that this trace shows.
func (t trace) spoken(p chart.Point) []chart.Signal {
	if t.mute {
		return nil
	}
	if len(t.tests) == 0 {
		return p.Signals
	}
	var out []chart.Signal
	for _, s := range p.Signals {
		if slices.Contains(t.tests, s.Test) {
			out = append(out, s)
		}
	}
	return out
}

// figures returns what is told of a point in words.
func (t trace) figures(p chart.Point) []namedFigure {
	if t.told == nil {
		return []namedFigure{{"", t.at(p)}}
	}
	return t.told(p)
}

// sums are both sums of a CUSUM, the lower one turned downward.
func sums(points []chart.Point) []trace {
	return []trace{
		{
			points: points, tests: []chart.Test{chart.HighSum}, place: func(p chart.Point) float64 { return p.High },
			told: func(p chart.Point) []namedFigure { return []namedFigure{{"upper sum ", p.High}, {"value ", p.Value}} },
		},
		{
			points: points, tests: []chart.Test{chart.LowSum}, place: func(p chart.Point) float64 { return -p.Low },
			told: func(p chart.Point) []namedFigure { return []namedFigure{{"lower sum ", p.Low}, {"value ", p.Value}} },
		},
	}
}
