package drawing

import "plumbrule/rules/chart"

// field is what one panel shows, whatever it is drawn with.
type field struct {
	heading  string
	traces   []trace
	pieces   []piece
	onsets   []onset
	current  []level // the lines that the next point will meet, in words
	mpe      *float64
	positive bool // nothing in it can be below 0
	small    bool
	worded   bool // a text screen tells it in words only
	scale    scale
}

// fields lays out what is to be seen of a chart.
func (p Picture) fields() ([]field, error) {
	out := []field{p.mainField()}
	if len(p.Chart.Range) > 0 {
		name := Dispersion(p.Chart.Kind)
		told := func(at chart.Point) []namedFigure { return []namedFigure{{name + " ", at.Value}} }
		out = append(out, field{
			heading: axisName("", name, p.Unit), traces: []trace{{points: p.Chart.Range, told: told}},
			pieces: p.pieces(p.Chart.Range), current: levels("", p.Chart.Current().Range),
			positive: true, small: true, worded: p.Chart.Kind == chart.KindIndividuals,
		})
	}
	if p.Chart.Kind == chart.KindCUSUM {
		f := field{
			heading: axisName(p.Quantity, "value", p.Unit), traces: []trace{{points: p.Chart.Points, mute: true}},
			pieces: p.targets(), mpe: p.MPE, small: true,
		}
		if n := len(f.pieces); n > 0 {
			f.current = f.pieces[n-1].lines
		}
		out = append(out, f)
	}
	for i := range out {
		var err error
		if out[i].scale, err = newScale(out[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// mainField is what the chart is named after.
func (p Picture) mainField() field {
	f := field{
		heading: axisName(p.Quantity, "value", p.Unit), traces: []trace{{points: p.Chart.Points}}, mpe: p.MPE,
		pieces: p.pieces(p.Chart.Points), current: levels(p.Chart.Kind, p.Chart.Current().Limits),
	}
	switch p.Chart.Kind {
	case chart.KindEWMA:
		f.heading += ": weighted average, and the values behind it"
		f.traces = []trace{{points: p.Chart.Points, mute: true, faint: true}, {
			points: p.Chart.Points, place: func(at chart.Point) float64 { return at.Statistic },
			told: func(at chart.Point) []namedFigure {
				return []namedFigure{{"average ", at.Statistic}, {"value ", at.Value}}
			},
		}}
	case chart.KindCUSUM:
		f.heading = axisName("", "cumulative sums", p.Unit) + ": the upper above 0, the lower below"
		f.traces, f.mpe, f.onsets = sums(p.Chart.Points), nil, p.onsets()
	case chart.KindMeanRange, chart.KindMeanDeviation:
		f.heading += ": means of samples"
	default:
	}
	return f
}

// Dispersion is what the second panel of a kind of chart shows; empty for a kind
// that has none.
func Dispersion(kind chart.Kind) string {
	switch kind {
	case chart.KindIndividuals:
		return "moving range"
	case chart.KindMeanRange:
		return "range"
	case chart.KindMeanDeviation:
		return "standard deviation"
	default:
		return ""
	}
}
