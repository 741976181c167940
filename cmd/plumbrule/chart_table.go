package main

import (
	"strings"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/chart"
)

// table has a row for each point, its dispersion beside it.
func (c charted) table() table.Table {
	t := table.Table{Columns: c.columns()}
	ranges := map[int]chart.Point{}
	for _, p := range c.Range {
		ranges[p.N] = p
	}
	for _, p := range c.Points {
		row := []table.Cell{table.Count(p.N)}
		if len(c.groups) > 0 {
			row = append(row, table.Text(c.groups[p.N-1]), table.Count(c.sizes[p.N-1]))
		}
		row = append(row, c.values(p)...)
		row = append(row, table.Text(strings.Join(signalNames(p), " ")))
		if shewhart(c.Kind) {
			r, has := ranges[p.N]
			row = append(row, c.dispersion(r, has)...)
		}
		t.Add(row...)
	}
	return t
}

func (c charted) columns() []table.Column {
	right := func(title string) table.Column { return table.Column{Title: title, Align: table.Decimal} }
	out := []table.Column{{Title: "n", Align: table.Right}}
	if len(c.groups) > 0 {
		out = append(out, table.Column{Title: "group"}, table.Column{Title: "size", Align: table.Right})
	}
	switch c.Kind {
	case chart.KindEWMA:
		out = append(out, right("value"), right("average"), right("centre"), right("lower"), right("upper"))
	case chart.KindCUSUM:
		out = append(out, right("value"), right("upper sum"), right("lower sum"), right("decision value"))
	default:
		out = append(out, right("value"), right("centre"), right("lower"), right("upper"))
	}
	out = append(out, table.Column{Title: "signals", Wrap: true})
	if !shewhart(c.Kind) {
		return out
	}
	name := "range"
	if c.Kind == chart.KindMeanDeviation {
		name = "deviation"
	}
	out = append(out, right(drawing.Dispersion(c.Kind)))
	if chart.Sampled(c.Kind) {
		out = append(out, right(name+" lower"))
	}
	return append(out, right(name+" upper"), table.Column{Title: name + " signals", Wrap: true})
}

func (c charted) number(v float64) table.Cell { return table.Number(c.rounded(v), v) }

// values are what is plotted of a point, and its lines. A single value is printed as it was typed.
func (c charted) values(p chart.Point) []table.Cell {
	out := []table.Cell{table.Number(show.Shortest(p.Value), p.Value)}
	if chart.Sampled(c.Kind) {
		out[0] = c.number(p.Value)
	}
	if c.Kind == chart.KindEWMA {
		out = append(out, c.number(p.Statistic))
	}
	l := p.Limits
	switch {
	case l == nil:
		return append(out, table.None(), table.None(), table.None())
	case c.Kind == chart.KindCUSUM:
		return append(out, c.number(p.High), c.number(p.Low), c.number(l.Upper))
	}
	return append(out, c.number(l.Centre), c.number(l.Lower), c.number(l.Upper))
}

// dispersion is what is plotted beside a point, if anything is.
func (c charted) dispersion(r chart.Point, has bool) []table.Cell {
	value, lower, upper, signals := table.None(), table.None(), table.None(), ""
	if has {
		value, signals = c.number(r.Value), strings.Join(signalNames(r), " ")
		if r.Limits != nil {
			lower, upper = c.number(r.Limits.Lower), c.number(r.Limits.Upper)
		}
	}
	if chart.Sampled(c.Kind) {
		return []table.Cell{value, lower, upper, table.Text(signals)}
	}
	return []table.Cell{value, upper, table.Text(signals)}
}

// rounded prints a figure that was estimated from the values, with one digit more than the estimated spread deserves.
func (c charted) rounded(v float64) string {
	if l := c.Current().Limits; l != nil {
		return show.Fixed(v, show.Decimals(l.Sigma)+1)
	}
	return show.Shortest(v)
}
