package main

import (
	"math"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/rules/repeatability"
)

// repeatabilityOptions are the flags of repeatability.
type repeatabilityOptions struct {
	csv, part, operator, value       *string
	tolerance, confidence, poolAbove *parsed[float64]
}

func newRepeatabilityCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "repeatability --csv FILE --part NAME [--operator NAME] --value NAME [FLAGS]",
		Short: "how much of what is measured comes from the gauge and its operators",
		Long: "Analyses a crossed study, in which every operator measures every part the same number of times: which part of the " +
			"variation is repeatability (the same operator again), reproducibility (another operator, and operators that differ from " +
			"part to part), and which the parts themselves.\n\n" +
			"It needs no records. Parts and operators count as random draws. Limits are exact for the repeatability and modified " +
			"large-sample ones for the rest. The interaction of parts and operators is pooled into the repeatability where it does not " +
			"show; the JSON holds both analyses. Beside a tolerance stand six standard deviations of the gauge.",
		Example: `  plumbrule repeatability --csv study.csv --part part --operator operator \
    --value y

  # what the gauge takes of a tolerance of 60, in the unit of the values
  plumbrule repeatability --csv study.csv --part part --operator operator \
    --value y --tolerance 60

  # one operator, or a machine that measures by itself
  plumbrule repeatability --csv study.csv --part part --value y --format json`,
		GroupID: groupReckon,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "analysed",
			"2", "a column is not named, or a value cannot be used",
			"3", "the file cannot be read, or holds no study that can be analysed",
		), "chart", "decide"),
	}
	var o repeatabilityOptions
	f := flagsOf(cmd)
	f.head("The study")
	o.csv = f.text("csv", "the `FILE` with one reading a row, comma, semicolon or tab separated below a header row; - for standard input")
	o.part = f.text("part", "the `NAME` of the column that says which part")
	o.operator = f.text("operator", "the `NAME` of the column that says which operator; one operator if not given")
	o.value = f.text("value", "the `NAME` of the column with the readings")
	f.head("The analysis")
	o.tolerance = readFlag(f, "tolerance", "upper less lower limit of the parts, a `NUMBER` in the unit of the readings",
		numberWithin(math.SmallestNonzeroFloat64, 1e100, "a number above 0"))
	o.confidence = readFlag(f, "confidence", "the two-sided `LEVEL` of the limits; 0.95 if not given", numberWithin(0.5, 0.9999, "a level from 0.5 to 0.9999"))
	o.poolAbove = readFlag(f, "pool-above", "pool the interaction if its p is above this `NUMBER`; 0.25 if not given, 1 never pools",
		numberWithin(math.SmallestNonzeroFloat64, 1, "a probability above 0 and up to 1"))
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		s, err := o.study(e)
		if err != nil {
			return err
		}
		return e.print(formatOf(cmd), s.answer())
	}
	return cmd
}

// studied is an analysed study with where it came from.
type studied struct {
	*repeatability.Result
	file, value string
}

func (o *repeatabilityOptions) study(e *env) (studied, error) {
	switch "" {
	case *o.csv:
		return studied{}, misused("no --csv, expected the file with the readings", "name it, or - for standard input")
	case *o.part:
		return studied{}, misused("no --part, expected the name of the column that says which part", "give the name that stands in the header row, for example --part part")
	case *o.value:
		return studied{}, misused("no --value, expected the name of the column with the readings", "give the name that stands in the header row, for example --value y")
	}
	readings, err := o.read(e)
	if err != nil {
		return studied{}, err
	}
	result, err := repeatability.Study(readings, repeatability.Settings{
		Confidence: o.confidence.value, PoolAbove: o.poolAbove.value, Tolerance: o.tolerance.value,
	})
	if err != nil {
		what, mend, _ := strings.Cut(err.Error(), "; mend: ")
		return studied{}, unreadable(inputName(*o.csv)+": "+what, mend, err)
	}
	return studied{result, inputName(*o.csv), *o.value}, nil
}

// read reads one reading a row.
func (o *repeatabilityOptions) read(e *env) ([]repeatability.Reading, error) {
	c, err := e.openColumns(*o.csv)
	if err != nil {
		return nil, err
	}
	c.blank = "fill it in: a study is not analysed with a reading missing"
	part, err := c.find("--part", *o.part)
	if err != nil {
		return nil, err
	}
	operator := -1
	if *o.operator != "" {
		if operator, err = c.find("--operator", *o.operator); err != nil {
			return nil, err
		}
	}
	value, err := c.find("--value", *o.value)
	if err != nil {
		return nil, err
	}
	var readings []repeatability.Reading
	err = c.each(func(row []string) error {
		var r repeatability.Reading
		if r.Part, err = c.text(row, part); err != nil {
			return err
		}
		if operator >= 0 {
			if r.Operator, err = c.text(row, operator); err != nil {
				return err
			}
		}
		if r.Value, err = c.number(row, value); err != nil {
			return err
		}
		readings = append(readings, r)
		return nil
	})
	if err == nil && len(readings) == 0 {
		err = c.empty(value)
	}
	return readings, err
}
