package main

import (
	"fmt"
	"io"

	"plumbrule/cmd/plumbrule/internal/drawing"
	"plumbrule/records/quantity"
	"plumbrule/rules/chart"
)

// chartCalculator is the part of chart that needs no records: its flags and what follows from them.
type chartCalculator struct {
	csv, column, group *string
}

func newChartCalculator(f *flagSet) *chartCalculator {
	f.head("Without records")
	return &chartCalculator{
		csv:    f.text("csv", "the `FILE` with the values, comma, semicolon or tab separated below a header row; - for standard input"),
		column: f.text("column", "the `NAME` in the header row of the column to chart"),
		group:  f.text("group", "the `NAME` of the column that says to which sample a row belongs; needed for mean-range and mean-sd"),
	}
}

// wanted tells whether values are to come from a file.
func (c *chartCalculator) wanted() bool { return *c.csv != "" || *c.column != "" || *c.group != "" }

// chart reads the values, charts them, and writes the drawing if it was asked for.
func (c *chartCalculator) chart(e *env, flags *chartFlags, svg string) (charted, error) {
	kind := chart.KindIndividuals
	if flags.kind.given() {
		kind = flags.kind.value
	}
	values, err := c.read(e, flags, kind)
	if err != nil {
		return charted{}, err
	}
	settings := flags.settings(chart.Settings{Kind: kind, Minimum: chart.DefaultMinimum, Tests: chart.Nelson()})
	result, err := charting(kind, values.samples, settings)
	if err != nil {
		return charted{}, unreadable(inputName(*c.csv)+": "+err.Error(), "", err)
	}
	p := drawing.Picture{Title: fmt.Sprintf("control chart, %s from %s", kind, inputName(*c.csv)), Quantity: *c.column}
	for _, name := range values.names {
		p.Points = append(p.Points, drawing.Point{Label: *c.group + " " + name})
	}
	out := newCharted(result, settings, p, "point", quantity.Interval{}, alarmBook{})
	out.groups = values.names
	for _, sample := range values.samples {
		out.sizes = append(out.sizes, len(sample))
	}
	if svg == "" {
		return out, nil
	}
	return out, e.writeOutput(svg, func(w io.Writer) error { return drawing.SVG(w, out.picture, "chart") })
}

// read reads the file, after the flags have been found to go together.
func (c *chartCalculator) read(e *env, flags *chartFlags, kind chart.Kind) (readings, error) {
	sampled := chart.Sampled(kind)
	switch {
	case *c.csv == "":
		return readings{}, misused("no --csv, expected the file with the values", "name it, or - for standard input")
	case *c.column == "":
		return readings{}, misused("no --column, expected the name of the column to chart", "give the name that stands in the header row, for example --column error_um")
	case sampled && *c.group == "":
		return readings{}, misused(fmt.Sprintf("no --group with a chart of kind %s, expected the column that names the sample of each row", kind), "name it as it stands in the header row, for example --group sample")
	case !sampled && *c.group != "":
		return readings{}, misused(fmt.Sprintf("--group with a chart of kind %s, whose points are single values", kind), "leave --group out, or choose --kind mean-range or mean-sd")
	}
	if err := flags.refuse(kind); err != nil {
		return readings{}, err
	}
	if sampled {
		return e.readSamples(*c.csv, *c.column, *c.group)
	}
	values, err := e.readColumn(*c.csv, *c.column)
	return single(values), err
}

// charting charts samples, or the single value in each, through the kind asked for.
func charting(kind chart.Kind, samples [][]float64, s chart.Settings) (chart.Chart, error) {
	values := make([]float64, len(samples))
	for i, sample := range samples {
		values[i] = sample[0]
	}
	switch kind {
	case chart.KindMeanRange:
		return chart.MeanRange(samples, s)
	case chart.KindMeanDeviation:
		return chart.MeanDeviation(samples, s)
	case chart.KindEWMA:
		return chart.EWMA(values, s)
	case chart.KindCUSUM:
		return chart.CUSUM(values, s)
	default:
		return chart.Individuals(values, s)
	}
}
