package main

import (
	"fmt"
	"io"
	"strings"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/chart"
)

// charted is a chart with its picture.
type charted struct {
	chart.Chart
	picture drawing.Picture
}

// needsAttention tells whether a point signals, or there is nothing to judge points by.
func (c charted) needsAttention() bool {
	return c.Signalling() > 0 || c.RangeSignalling() > 0 || c.Current().Limits == nil
}

// chartJSON is what chart prints as JSON. Figures are in the unit of the column. Those at the top belong to the last
// segment; where they do not exist they are null, and reasons says why under their names.
type chartJSON struct {
	Kind        string            `json:"kind"`
	Centre      *float64          `json:"centre"`
	Sigma       *float64          `json:"sigma"`
	Lower       *float64          `json:"lower"`
	Upper       *float64          `json:"upper"`
	Baseline    int               `json:"baseline"`
	Provisional bool              `json:"provisional"`
	Points      []pointJSON       `json:"points"`
	Range       rangeJSON         `json:"range"`
	Signals     []signalJSON      `json:"signal_details"`
	Warnings    []noteJSON        `json:"warnings"`
	Reasons     map[string]string `json:"reasons"`
}

type rangeJSON struct {
	Centre *float64    `json:"centre"`
	Lower  *float64    `json:"lower"`
	Upper  *float64    `json:"upper"`
	Points []pointJSON `json:"points"`
}

type pointJSON struct {
	N       int      `json:"n"`
	Value   float64  `json:"value"`
	Lower   *float64 `json:"lower"`
	Upper   *float64 `json:"upper"`
	Signals []string `json:"signals"`
}

// signalJSON tells a signal in full; chart is "values" or "range".
type signalJSON struct {
	Chart  string `json:"chart"`
	N      int    `json:"n"`
	Test   string `json:"test"`
	Points []int  `json:"points"`
	Words  string `json:"words"`
}

func (c charted) answer() answer {
	t := c.table()
	above := fmt.Sprintf("%s, column %s, %d points: no limits", c.picture.Title, c.picture.Quantity, len(c.Points))
	if l := c.Current().Limits; l != nil {
		above = fmt.Sprintf("%s, column %s, %d points: centre %s, control limits %s and %s", c.picture.Title, c.picture.Quantity, len(c.Points),
			c.rounded(l.Centre), c.rounded(l.Lower), c.rounded(l.Upper))
	}
	var below []string
	for _, w := range c.Warnings {
		below = append(below, "note: "+w.Sentence)
	}
	draw := func(w io.Writer, width int) error { return drawing.Terminal(w, c.picture, width) }
	return answer{JSON: c.json(), CSV: t, Above: []string{above}, Table: t, Below: below, Draw: draw}
}

func (c charted) json() chartJSON {
	current := c.Current()
	out := chartJSON{
		Kind: string(c.Kind), Baseline: current.Baseline, Provisional: current.Provisional, Signals: []signalJSON{},
		Points: pointsJSON(c.Points), Range: rangeJSON{Points: pointsJSON(c.Range)}, Warnings: []noteJSON{}, Reasons: map[string]string{},
	}
	if l := current.Limits; l != nil {
		out.Centre, out.Sigma, out.Lower, out.Upper = &l.Centre, &l.Sigma, &l.Lower, &l.Upper
	}
	if l := current.Range; l != nil {
		out.Range.Centre, out.Range.Lower, out.Range.Upper = &l.Centre, &l.Lower, &l.Upper
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

func pointsJSON(points []chart.Point) []pointJSON {
	out := make([]pointJSON, 0, len(points))
	for _, p := range points {
		j := pointJSON{N: p.N, Value: p.Value, Signals: signalNames(p)}
		if p.Limits != nil {
			j.Lower, j.Upper = &p.Limits.Lower, &p.Limits.Upper
		}
		out = append(out, j)
	}
	return out
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

// table has a row for each point, its moving range beside it.
func (c charted) table() table.Table {
	right := func(title string) table.Column { return table.Column{Title: title, Align: table.Decimal} }
	t := table.Table{Columns: []table.Column{
		{Title: "n", Align: table.Right},
		right("value"), right("centre"), right("lower"), right("upper"),
		{Title: "signals", Wrap: true},
		right("moving range"), right("range upper"),
		{Title: "range signals", Wrap: true},
	}}
	ranges := map[int]chart.Point{}
	for _, p := range c.Range {
		ranges[p.N] = p
	}
	number := func(v float64) table.Cell { return table.Number(c.rounded(v), v) }
	for _, p := range c.Points {
		row := []table.Cell{table.Count(p.N), table.Number(show.Shortest(p.Value), p.Value)}
		if l := p.Limits; l != nil {
			row = append(row, number(l.Centre), number(l.Lower), number(l.Upper))
		} else {
			row = append(row, table.None(), table.None(), table.None())
		}
		row = append(row, table.Text(strings.Join(signalNames(p), " ")))
		moving, upper, signals := table.None(), table.None(), ""
		if r, has := ranges[p.N]; has {
			moving, signals = number(r.Value), strings.Join(signalNames(r), " ")
			if r.Limits != nil {
				upper = number(r.Limits.Upper)
			}
		}
		t.Add(append(row, moving, upper, table.Text(signals))...)
	}
	return t
}

// rounded prints a figure that was estimated from the values, with one digit more than the estimated spread deserves.
func (c charted) rounded(v float64) string {
	if l := c.Current().Limits; l != nil {
		return show.Fixed(v, show.Decimals(l.Sigma)+1)
	}
	return show.Shortest(v)
}
