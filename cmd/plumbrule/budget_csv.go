package main

import (
	"math"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/figure"
)

// csv has a row for each input and one for the result, under the names of the JSON; expanded is its U.
func (b *budgeted) csv() table.Table {
	t := table.Table{}
	for _, name := range []string{"name", "role", "value", "unit", "u", "nu", "law", "sensitivity", "contribution", "share", "k", "coverage", "expanded", "low", "high", "source"} {
		t.Columns = append(t.Columns, table.Column{Title: name})
	}
	number := func(v float64) table.Cell { return table.Number("", v) } // empty for infinity
	known := func(f figure.Figure) table.Cell {
		if f.Value == nil || math.IsInf(*f.Value, 0) {
			return table.None()
		}
		return number(*f.Value)
	}
	blank := table.Text("")
	for i, c := range b.result.Components {
		in := &b.sheet.Budget.Inputs[i]
		t.Add(table.Text(in.Name), table.Text("input"), number(in.Value), table.Text(in.Unit), number(c.U), number(in.DegreesOfFreedom), table.Text(lawName(in.Law)),
			number(c.Sensitivity), number(c.Contribution), number(c.Share), blank, blank, blank, blank, blank, table.Text(in.Source))
	}
	r := &b.result
	t.Add(table.Text(b.sheet.Measurand), table.Text("propagation"), number(r.Value), table.Text(b.sheet.Unit), number(r.CombinedU), known(r.EffectiveDOF), table.Text(string(r.Law)),
		blank, blank, blank, known(r.CoverageFactor), known(r.CoverageProbability), known(r.ExpandedU), blank, blank, blank)
	if m := b.trials; m != nil {
		t.Add(table.Text(b.sheet.Measurand), table.Text("monte carlo"), known(m.Mean), table.Text(b.sheet.Unit), known(m.U), blank, blank,
			blank, blank, blank, blank, number(m.Probability), blank, number(m.Symmetric.Low), number(m.Symmetric.High), blank)
	}
	return t
}
