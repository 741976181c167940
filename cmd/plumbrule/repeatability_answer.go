package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/repeatability"
)

func (s studied) answer() answer {
	a := answer{JSON: s.json(), CSV: s.csv(), Table: s.components(), Below: s.meaning()}
	a.Above = []string{fmt.Sprintf("%s in %s: %s, %s, %s, mean %s; analysis of variance, %s", s.value, s.file, counted(s.Parts, "part"),
		counted(s.Operators, "operator"), counted(s.Trials, "trial"), fourDigits(s.Mean), modelWords(s.Chosen.Name))}
	var variance strings.Builder
	if err := s.variance().Plain(&variance, table.Screen{}); err == nil { // into memory, and with as many cells as columns
		a.Verbatim = append([]string{""}, strings.Split(strings.TrimRight(variance.String(), "\n"), "\n")...)
	}
	for _, n := range s.notes() {
		a.Below = append(a.Below, "note: "+n)
	}
	return a
}

// variance is the analysis of variance of the model chosen.
func (s studied) variance() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "source"},
		{Title: "sum of squares", Align: table.Decimal},
		{Title: "df", Align: table.Right},
		{Title: "mean square", Align: table.Decimal},
		{Title: "F", Align: table.Decimal},
		{Title: "p", Align: table.Decimal},
	}}
	for _, r := range s.Chosen.Table {
		t.Add(table.Text(sourceWords(r.Source)), table.Number(fourDigits(r.SumOfSquares), r.SumOfSquares), table.Count(r.DegreesOfFreedom),
			figureOrBlank(r.MeanSquare, fourDigits), figureOrBlank(r.F, fourDigits), figureOrBlank(r.P, show.Probability))
	}
	return t
}

// figureOrBlank leaves a cell empty where a row of an analysis of variance has no such figure by its nature.
func figureOrBlank(f repeatability.Figure, text func(float64) string) table.Cell {
	if f.Value == nil {
		return table.Text("")
	}
	return table.Number(text(*f.Value), *f.Value)
}

// components lists the components of the model chosen; shares stand in per cent for people.
func (s studied) components() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "component"},
		{Title: "variance", Align: table.Decimal, Optional: 1},
		{Title: "sd", Align: table.Decimal},
		{Title: "from", Align: table.Decimal},
		{Title: "to", Align: table.Decimal},
		{Title: "of variance", Unit: "%", Align: table.Decimal},
		{Title: "of study", Unit: "%", Align: table.Decimal},
	}}
	if s.Settings.Tolerance > 0 {
		t.Columns = append(t.Columns, table.Column{Title: "of tolerance", Unit: "%", Align: table.Decimal})
	}
	number := func(f repeatability.Figure, factor float64, text func(float64) string) table.Cell {
		if f.Value == nil {
			return table.None()
		}
		return table.Number(text(*f.Value*factor), *f.Value*factor)
	}
	tenths := func(v float64) string { return show.Fixed(v, 1) }
	for _, c := range s.Chosen.Components {
		row := []table.Cell{
			table.Text(sourceWords(c.Source)), number(c.Variance, 1, fourDigits), number(c.SD, 1, fourDigits), number(c.SDLower, 1, fourDigits),
			number(c.SDUpper, 1, fourDigits), number(c.ShareOfVariance, 100, tenths), number(c.ShareOfStudy, 100, tenths),
		}
		if s.Settings.Tolerance > 0 {
			row = append(row, number(c.ShareOfTolerance, 100, tenths))
		}
		t.Add(row...)
	}
	return t
}

// csv has the names of the JSON; the shares are no per cents.
func (s studied) csv() table.Table {
	t := table.Table{}
	for _, name := range []string{"model", "source", "estimate", "variance", "sd", "lower", "upper", "share of variance", "share of study", "share of tolerance"} {
		t.Columns = append(t.Columns, table.Column{Title: name})
	}
	for _, c := range s.Chosen.Components {
		row := []table.Cell{table.Text(string(s.Chosen.Name)), table.Text(sourceName(c.Source))}
		for _, f := range []repeatability.Figure{c.Estimate, c.Variance, c.SD, c.SDLower, c.SDUpper, c.ShareOfVariance, c.ShareOfStudy, c.ShareOfTolerance} {
			row = append(row, figureOrBlank(f, show.Shortest))
		}
		t.Add(row...)
	}
	return t
}

// meaning says in two sentences what the components come to.
func (s studied) meaning() []string {
	gauge, repeat := s.Chosen.Component(repeatability.Gauge), s.Chosen.Component(repeatability.Repeatability)
	between, parts := s.Chosen.Component(repeatability.Reproducibility), s.Chosen.Component(repeatability.Part)
	if slices.ContainsFunc([]repeatability.Component{gauge, repeat, parts}, func(c repeatability.Component) bool { return c.SD.Value == nil }) {
		return nil
	}
	first := fmt.Sprintf("A single reading scatters about the part with a standard deviation of %s", fourDigits(*gauge.SD.Value))
	if gauge.SDLower.Value != nil && gauge.SDUpper.Value != nil {
		first += fmt.Sprintf(" (%s to %s with %s confidence)", fourDigits(*gauge.SDLower.Value), fourDigits(*gauge.SDUpper.Value), percent(s.Settings.Confidence))
	}
	if between.SD.Value != nil {
		first += fmt.Sprintf(": %s when one operator repeats it, %s between operators.", fourDigits(*repeat.SD.Value), fourDigits(*between.SD.Value))
	} else {
		first += ", as long as one operator repeats it."
	}
	second := fmt.Sprintf("The parts differ among themselves by %s", fourDigits(*parts.SD.Value))
	if s.Chosen.Categories.Value != nil {
		groups := counted(int(*s.Chosen.Categories.Value), "group")
		second += fmt.Sprintf(", so the gauge tells %s of such parts apart", groups)
	} else {
		second += "; " + s.Chosen.Categories.Reason
	}
	if share := gauge.ShareOfTolerance.Value; share != nil {
		second += fmt.Sprintf(", and %s of its standard deviations take %s %% of the tolerance, where common practice (no source) wants at most 10 %% and refuses above 30 %%",
			show.Shortest(s.Settings.StudySigmas), show.Fixed(*share*100, 1))
	}
	return []string{first, second + "."}
}

func modelWords(name repeatability.ModelName) string {
	switch name {
	case repeatability.WithInteraction:
		return "with the interaction of parts and operators"
	case repeatability.WithoutInteraction:
		return "without an interaction of parts and operators"
	case repeatability.OneOperator:
	}
	return "one operator"
}

func sourceWords(s repeatability.Source) string {
	if s == repeatability.Interaction {
		return "part × operator"
	}
	return string(s)
}
