package main

import (
	"fmt"
	"io"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/rules/chart"
)

// chartCalculator is the part of chart that needs no records: its flags and what follows from them.
type chartCalculator struct {
	csv, column, svg  *string
	kind              *parsed[chart.Kind]
	baseline, minimum *parsed[int]
}

func newChartCalculator(f *flagSet) *chartCalculator {
	f.head("Without records")
	c := &chartCalculator{
		csv:    f.text("csv", "the `FILE` with the values, comma, semicolon or tab separated below a header row; - for standard input"),
		column: f.text("column", "the `NAME` in the header row of the column to chart"),
	}
	f.head("The chart")
	c.kind = readFlag(f, "kind", "the `KIND` of chart: individuals, which is taken if not given", oneOf(chart.KindIndividuals))
	c.kind.value = chart.KindIndividuals
	c.baseline = f.whole("baseline", "the `NUMBER` of first points that the limits rest on; all if not given", 0, 2, 1_000_000)
	c.minimum = f.whole("minimum", "the `NUMBER` of baseline points below which limits are called provisional; 8 if not given", chart.DefaultMinimum, 2, 1_000_000)
	c.svg = f.text("svg", "write the drawing to this `FILE` too")
	return c
}

// wanted tells whether values are to come from a file.
func (c *chartCalculator) wanted() bool { return *c.csv != "" || *c.column != "" }

// chart reads the values, charts them, and writes the drawing if it was asked for.
func (c *chartCalculator) chart(e *env) (charted, error) {
	if *c.csv == "" {
		return charted{}, misused("no --csv, expected the file with the values", "name it, or - for standard input")
	}
	if *c.column == "" {
		return charted{}, misused("no --column, expected the name of the column to chart", "give the name that stands in the header row, for example --column error_um")
	}
	values, err := e.readColumn(*c.csv, *c.column)
	if err != nil {
		return charted{}, err
	}
	result, err := chart.Individuals(values, chart.Settings{
		Kind: c.kind.value, Baseline: c.baseline.value, Minimum: c.minimum.value, Tests: chart.Nelson(),
	})
	if err != nil {
		return charted{}, unreadable(*c.csv+": "+err.Error(), "", err)
	}
	out := charted{Chart: result, picture: drawing.Picture{
		Title: fmt.Sprintf("control chart, %s from %s", result.Kind, inputName(*c.csv)), Quantity: *c.column, Chart: result,
	}}
	if *c.svg == "" {
		return out, nil
	}
	return out, e.writeOutput(*c.svg, func(w io.Writer) error { return drawing.SVG(w, out.picture, "chart") })
}
