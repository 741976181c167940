package main

import (
	"fmt"
	"io"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/rules/chart"
)

// answer is that of a chart from a file.
func (c charted) answer() answer {
	t := c.table()
	draw := func(w io.Writer, width int) error { return drawing.Terminal(w, c.picture, width) }
	return answer{JSON: c.json(), CSV: t, Above: []string{c.headline()}, Table: t, Below: c.notes(), Draw: draw}
}

// headline tells the lines of the last segment.
func (c charted) headline() string {
	text := fmt.Sprintf("%s, column %s, %d points: ", c.picture.Title, c.picture.Quantity, len(c.Points))
	l := c.Current().Limits
	switch {
	case l == nil:
		return text + "no limits"
	case c.Kind == chart.KindEWMA:
		return text + fmt.Sprintf("target %s, limits of the average %s and %s in the long run", c.rounded(l.Centre), c.rounded(l.Lower), c.rounded(l.Upper))
	case c.Kind == chart.KindCUSUM:
		target := c.picture.Targets[len(c.picture.Targets)-1]
		return text + fmt.Sprintf("target %s, decision value of both sums %s", c.rounded(target), c.rounded(l.Upper))
	}
	return text + fmt.Sprintf("centre %s, control limits %s and %s", c.rounded(l.Centre), c.rounded(l.Lower), c.rounded(l.Upper))
}

// notes are the sentences below a table.
func (c charted) notes() []string {
	var out []string
	for _, w := range c.Warnings {
		out = append(out, "note: "+w.Sentence)
	}
	out = append(out, c.picture.Steps()...)
	return append(out, c.picture.Remarks...)
}
