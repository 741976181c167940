package main

import (
	"github.com/spf13/cobra"

	"plumbrule/rules/sample"
)

// summaryOptions are the flags of summary.
type summaryOptions struct {
	csv, column *string
	alpha       *parsed[float64]
	side        *parsed[sample.Side]
	outliers    *parsed[int]
}

func newSummaryCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "summary --csv FILE --column NAME [FLAGS]",
		Short: "describe a column of readings and test it for outliers",
		Long: "Says in numbers what a set of readings is like: mean, standard deviation (with n - 1), smallest and largest value, and the " +
			"lag-1 autocorrelation, which tells readings that follow each other from independent ones. It needs no records. The rows count " +
			"as taken in the order of the file.\n\n" +
			"The value farthest out is tested by Grubbs (1969); with --outliers the generalised extreme studentised deviate of Rosner " +
			"(1983) looks for several, which could hide behind each other. An index counts the values from 1. Both tests suppose that the " +
			"other values are normal. A test names a value to look into; it is no leave to drop it.",
		Example: `  plumbrule summary --csv bar.csv --column error_um
  plumbrule summary --csv flow.csv --column x --side largest --alpha 0.01

  # several outliers, up to three
  plumbrule summary --csv flow.csv --column x --outliers 3 --format json`,
		GroupID: groupReckon,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "described",
			"2", "a column is not named, or a value cannot be used",
			"3", "the file cannot be read, or says something that is no number",
		), "chart", "drift", "repeatability"),
	}
	var o summaryOptions
	f := flagsOf(cmd)
	f.head("The readings")
	o.csv = f.text("csv", "the `FILE` with one value a row, comma, semicolon or tab separated below a header row; - for standard input")
	o.column = f.text("column", "the `NAME` of the column")
	f.head("Outliers")
	o.alpha = readFlag(f, "alpha", "the significance `LEVEL`: the risk of an outlier where there is none; 0.05 if not given",
		numberWithin(1e-6, 0.5, "a level from 0.000001 to 0.5"))
	o.alpha.value = 0.05
	o.side = readFlag(f, "side", "test this `SIDE`: either, largest or smallest, chosen before the values were seen; either if not given",
		oneOf(sample.EitherSide, sample.LargestSide, sample.SmallestSide))
	o.side.value = sample.EitherSide
	o.outliers = f.whole("outliers", "look for up to this `NUMBER` of outliers on both sides, at most half of the values", 0, 1, 1_000_000)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		s, err := o.summarise(e)
		if err != nil {
			return err
		}
		return e.print(formatOf(cmd), s.answer())
	}
	return cmd
}

// summarised is a column with what was found out about it.
type summarised struct {
	sample.Summary
	file, column string
	alpha        float64
	side         sample.Side
	suspect      *sample.OutlierTest // nil: too few values, whyNone says so
	whyNone      string
	search       *sample.OutlierSearch // nil: not asked for
}

func (o *summaryOptions) summarise(e *env) (summarised, error) {
	s := summarised{file: inputName(*o.csv), column: *o.column, alpha: o.alpha.value, side: o.side.value}
	switch "" {
	case *o.csv:
		return s, misused("no --csv, expected the file with the readings", "name it, or - for standard input")
	case *o.column:
		return s, misused("no --column, expected the name of the column with the readings", "give the name that stands in the header row, for example --column y")
	}
	values, err := e.readColumn(*o.csv, *o.column)
	if err != nil {
		return s, err
	}
	if s.Summary, err = sample.Summarise(values); err != nil {
		return s, unreadable(s.file+": "+err.Error(), "", err)
	}
	if test, err := sample.Grubbs(values, s.side, s.alpha); err != nil {
		s.whyNone = err.Error()
	} else {
		s.suspect = &test
	}
	if !o.outliers.given() {
		return s, nil
	}
	search, err := sample.Rosner(values, o.outliers.value, s.alpha)
	if err != nil {
		return s, misused("--outliers "+o.outliers.text+": "+err.Error(), "ask for fewer, or give more values")
	}
	s.search = &search
	return s, nil
}
