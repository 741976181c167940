package main

import (
	"cmp"

	"plumbrule/rules/chart"
)

// chartJSON is what chart prints as JSON. Figures are in the unit of the column. Those at the top belong to the last
// segment; where they do not exist they are null, and reasons says why under their names. For an EWMA lower and upper are
// the limits that those of its points approach; for a CUSUM they are minus and plus the decision value, about the centre 0
// of its sums, and target is what the values are compared with.
type chartJSON struct {
	Kind               string             `json:"kind"`
	Target             *float64           `json:"target"`
	Centre             *float64           `json:"centre"`
	Sigma              *float64           `json:"sigma"`
	Lower              *float64           `json:"lower"`
	Upper              *float64           `json:"upper"`
	Baseline           int                `json:"baseline"`
	Provisional        bool               `json:"provisional"`
	Points             []pointJSON        `json:"points"`
	Range              rangeJSON          `json:"range"`
	Segments           []chartSegmentJSON `json:"segments"`
	InControlRunLength *float64           `json:"in_control_run_length"`
	Settings           settingsJSON       `json:"settings"`
	Signals            []signalJSON       `json:"signal_details"`
	Warnings           []noteJSON         `json:"warnings"`
	Reasons            map[string]string  `json:"reasons"`
}

type rangeJSON struct {
	Centre *float64    `json:"centre"`
	Lower  *float64    `json:"lower"`
	Upper  *float64    `json:"upper"`
	Points []pointJSON `json:"points"`
}

// pointJSON is a point. Statistic is the average of an EWMA, high and low the sums of a CUSUM, group and size the sample of
// a mean; charts of other kinds have no such field.
type pointJSON struct {
	N         int      `json:"n"`
	Group     string   `json:"group,omitempty"`
	Size      int      `json:"size,omitempty"`
	Value     float64  `json:"value"`
	Statistic *float64 `json:"statistic,omitempty"`
	High      *float64 `json:"high,omitempty"`
	Low       *float64 `json:"low,omitempty"`
	Lower     *float64 `json:"lower"`
	Upper     *float64 `json:"upper"`
	Signals   []string `json:"signals"`
}

// chartSegmentJSON is a stretch between restarts; first and last count points from 1. Sigma is that of a single value,
// sigma_plotted that of what is plotted: a mean, a weighted average.
type chartSegmentJSON struct {
	First       int            `json:"first"`
	Last        int            `json:"last"`
	Target      *float64       `json:"target"`
	Centre      *float64       `json:"centre"`
	Sigma       *float64       `json:"sigma"`
	Plotted     *float64       `json:"sigma_plotted"`
	Lower       *float64       `json:"lower"`
	Upper       *float64       `json:"upper"`
	Baseline    int            `json:"baseline"`
	Provisional bool           `json:"provisional"`
	Step        *chartStepJSON `json:"step"`
}

// chartStepJSON is the change of level from the segment before, with its confidence interval.
type chartStepJSON struct {
	Difference float64  `json:"difference"`
	Lower      *float64 `json:"lower"`
	Upper      *float64 `json:"upper"`
	Level      *float64 `json:"level"`
}

// settingsJSON is how the chart was computed; what its kind does not know is null.
type settingsJSON struct {
	Kind      string     `json:"kind"`
	Baseline  *int       `json:"baseline"`
	Minimum   *int       `json:"minimum"`
	Given     *givenJSON `json:"given"`
	Widened   bool       `json:"widened"`
	Tests     []string   `json:"tests"`
	Weight    *float64   `json:"weight"`
	Width     *float64   `json:"width"`
	Reference *float64   `json:"reference"`
	Decision  *float64   `json:"decision"`
	HeadStart *float64   `json:"head_start"`
}

type givenJSON struct {
	Centre float64 `json:"centre"`
	Sigma  float64 `json:"sigma"`
}

// signalJSON tells a signal in full; chart is "values" or "range".
type signalJSON struct {
	Chart  string `json:"chart"`
	N      int    `json:"n"`
	Test   string `json:"test"`
	Points []int  `json:"points"`
	Words  string `json:"words"`
}

func (c charted) json() chartJSON {
	current := c.Current()
	out := chartJSON{
		Kind: string(c.Kind), Baseline: current.Baseline, Provisional: current.Provisional,
		Points: c.pointsJSON(c.Points, true), Range: rangeJSON{Points: c.pointsJSON(c.Range, false)}, Segments: c.segmentsJSON(),
		Settings: settingsJSONOf(c.Kind, c.settings), Warnings: []noteJSON{}, Reasons: map[string]string{},
	}
	last := out.Segments[len(out.Segments)-1]
	out.Target, out.Centre, out.Sigma, out.Lower, out.Upper = last.Target, last.Centre, last.Sigma, last.Lower, last.Upper
	if l := current.Range; l != nil {
		out.Range.Centre, out.Range.Lower, out.Range.Upper = &l.Centre, &l.Lower, &l.Upper
	}
	if out.InControlRunLength = &c.alarms.length; c.alarms.length == 0 {
		out.InControlRunLength, out.Reasons["in_control_run_length"] = nil, c.alarms.why
	}
	for _, w := range c.Warnings {
		out.Warnings = append(out.Warnings, noteJSON{Code: string(w.Code), Sentence: w.Sentence})
		if current.Limits == nil && w.Segment == len(c.Segments)-1 && (w.Code == chart.NoLimits || w.Code == chart.NoSpread) {
			for _, name := range []string{"centre", "sigma", "lower", "upper", "range.centre", "range.lower", "range.upper"} {
				out.Reasons[name] = w.Sentence
			}
		}
	}
	out.Signals = append(signalsJSON("values", c.Points), signalsJSON("range", c.Range)...)
	return out
}

func (c charted) pointsJSON(points []chart.Point, values bool) []pointJSON {
	out := make([]pointJSON, 0, len(points))
	for i := range points {
		p := &points[i]
		j := pointJSON{N: p.N, Value: p.Value, Signals: signalNames(*p)}
		if p.Limits != nil {
			j.Lower, j.Upper = &p.Limits.Lower, &p.Limits.Upper
		}
		switch {
		case !values:
		case c.Kind == chart.KindEWMA:
			j.Statistic = &p.Statistic
		case c.Kind == chart.KindCUSUM && p.Limits != nil:
			j.High, j.Low = &p.High, &p.Low
		}
		if len(c.groups) > 0 {
			j.Group, j.Size = c.groups[p.N-1], c.sizes[p.N-1]
		}
		out = append(out, j)
	}
	return out
}

func (c charted) segmentsJSON() []chartSegmentJSON {
	out := make([]chartSegmentJSON, len(c.Segments))
	for i, s := range c.Segments {
		j := chartSegmentJSON{First: s.First, Last: s.Last, Baseline: s.Baseline, Provisional: s.Provisional}
		if l := s.Limits; l != nil {
			j.Centre, j.Sigma, j.Plotted, j.Lower, j.Upper = &l.Centre, &s.Sigma, &l.Sigma, &l.Lower, &l.Upper
		}
		if len(c.picture.Targets) > 0 {
			j.Target = &c.picture.Targets[i]
		}
		if s.Step != nil {
			j.Step = &chartStepJSON{Difference: s.Step.Difference}
			if at := s.Step.Interval; at != nil {
				j.Step.Lower, j.Step.Upper, j.Step.Level = &at.Lower, &at.Upper, new(0.95)
			}
		}
		out[i] = j
	}
	return out
}

// settingsJSONOf fills in the defaults of the kind.
func settingsJSONOf(kind chart.Kind, s chart.Settings) settingsJSON {
	out := settingsJSON{Kind: string(kind), Widened: s.Widened, Tests: []string{}}
	if s.Given != nil {
		out.Given = &givenJSON{s.Given.Centre, s.Given.Sigma}
	} else {
		out.Baseline, out.Minimum = new(s.Baseline), new(cmp.Or(s.Minimum, chart.DefaultMinimum))
	}
	out.scheme(s.Scheme(), kind)
	return out
}

// scheme fills in by which rule a chart of that kind signals.
func (out *settingsJSON) scheme(s chart.Scheme, kind chart.Kind) {
	switch kind {
	case chart.KindEWMA:
		out.Weight, out.Width = new(cmp.Or(s.Weight, chart.DefaultWeight)), new(cmp.Or(s.Width, chart.DefaultWidth))
	case chart.KindCUSUM:
		out.Reference, out.Decision = new(cmp.Or(s.Reference, chart.DefaultReference)), new(cmp.Or(s.Decision, chart.DefaultDecision))
		out.HeadStart = new(s.HeadStart)
	default:
		out.Tests = testWords(s.Tests)
	}
}

func signalsJSON(of string, points []chart.Point) []signalJSON {
	out := []signalJSON{}
	for _, p := range points {
		for _, s := range p.Signals {
			out = append(out, signalJSON{Chart: of, N: p.N, Test: string(s.Test), Points: s.Points, Words: s.Words()})
		}
	}
	return out
}

func signalNames(p chart.Point) []string {
	names := []string{}
	for _, s := range p.Signals {
		names = append(names, string(s.Test))
	}
	return names
}
