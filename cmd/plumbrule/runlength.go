package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/chart"
)

// runLengthJSON is the JSON of run-length. Limits is "exact" or "fixed" for an EWMA, otherwise null.
type runLengthJSON struct {
	Kind      string       `json:"kind"`
	Shift     float64      `json:"shift"`
	RunLength float64      `json:"run_length"`
	Limits    *string      `json:"limits"`
	Settings  settingsJSON `json:"settings"`
}

func newRunLengthCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "run-length [--kind KIND] [FLAGS]",
		Short: "how many points a control chart takes to signal on average",
		Long: "The average run length: the number of points until the first signal, the signalling one included, from the first point of a chart " +
			"on, for independent normal values off the centre by a lasting shift. Without a shift every signal is a false alarm, so the longer the " +
			"better; with one, the shorter the better. Centre and standard deviation count as known; limits estimated from a short " +
			"baseline do worse.\n\n" +
			"The figures are exact: run tests by the Markov chain of their patterns (Champ and Woodall 1987, Technometrics 29, 393-399), ewma by its " +
			"integral equation (Crowder 1987, Technometrics 29, 401-407), cusum by that of one side (Lucas and Crosier 1982, " +
			"Technometrics 24, 199-205). Where there is no exact figure, none is given. Means of samples count as individuals, with the " +
			"shift in standard deviations of a mean.",
		Example: `  plumbrule run-length --tests point-beyond
  plumbrule run-length --tests "point-beyond, same-side 7" --shift 1

  # a CUSUM with a head start, for a process that starts off its target
  plumbrule run-length --kind cusum --decision 4 --head-start 2 --shift 1

  # as published tables have it: the limits stand still from the first point on
  plumbrule run-length --kind ewma --weight 0.5 --width 3.071 --shift 1`,
		GroupID: groupReckon,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "reckoned",
			"2", "the command line cannot be used, or there is no exact figure",
		), "chart", "explain"),
	}
	f := flagsOf(cmd)
	f.head("The chart")
	flags := f.scheme(chart.KindIndividuals, chart.KindEWMA, chart.KindCUSUM)
	shift := f.number("shift", "how far the values are off the centre, a `NUMBER` of standard deviations of what is plotted; 0 if not given", anyNumber)
	flags.numbers(f)
	f.head("An EWMA")
	varying := f.yes("time-varying", "for the limits of each point, which widen over the first ones, as the chart draws them; published tables have those they approach")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		kind := chart.KindIndividuals
		if flags.kind.given() {
			kind = flags.kind.value
		}
		if err := flags.refuse(kind); err != nil {
			return err
		}
		if *varying && kind != chart.KindEWMA {
			return misused(fmt.Sprintf("--time-varying with a chart of kind %s, whose limits stand still", kind), "leave --time-varying out, or choose --kind ewma")
		}
		scheme := flags.settings(chart.Settings{Kind: kind, Tests: chart.Nelson()}).Scheme()
		scheme.Fixed = kind == chart.KindEWMA && !*varying
		length, err := chart.RunLength(scheme, shift.value)
		if err != nil {
			return misused("no exact run length: "+err.Error(), "")
		}
		return e.print(formatOf(cmd), runLengthAnswer(scheme, shift.value, length))
	}
	return cmd
}

func runLengthAnswer(s chart.Scheme, shift, length float64) answer {
	out := runLengthJSON{Kind: string(s.Kind), Shift: shift, RunLength: length, Settings: settingsJSON{Kind: string(s.Kind), Tests: []string{}}}
	out.Settings.scheme(s, s.Kind)
	if s.Kind == chart.KindEWMA {
		out.Limits = new("exact")
		if s.Fixed {
			out.Limits = new("fixed")
		}
	}
	a := answer{JSON: out}
	a.CSV = table.Table{Columns: []table.Column{{Title: "kind"}, {Title: "shift", Align: table.Decimal}, {Title: "run length", Align: table.Decimal}}}
	a.CSV.Add(table.Text(out.Kind), table.Number(show.Shortest(shift), shift), table.Number(significant(length), length))
	meaning := "average number of points to the first signal after a shift of " + show.Shortest(shift) + " standard deviations"
	if shift == 0 {
		meaning = "average number of points between false alarms"
	}
	a.Above = []string{significant(length) + ": " + meaning, "chart: " + schemeWords(s)}
	if s.Kind == chart.KindEWMA && s.Fixed {
		a.Above = append(a.Above, "note: for the limits that the chart approaches, as in published tables; --time-varying takes those of each point, as the chart draws them")
	}
	return a
}

// significant prints a run length as finely as tables of run lengths are used.
func significant(length float64) string {
	switch {
	case length < 100:
		return show.Fixed(length, 3)
	case length < 1e6:
		return show.Fixed(length, 2)
	}
	return fmt.Sprintf("%.6g", length)
}

// schemeWords tells by which rule a chart signals.
func schemeWords(s chart.Scheme) string {
	var j settingsJSON
	j.scheme(s, s.Kind)
	switch s.Kind {
	case chart.KindEWMA:
		text := fmt.Sprintf("ewma, weight %g, width %g", *j.Weight, *j.Width)
		if s.Fixed {
			text += ", fixed limits"
		}
		return text
	case chart.KindCUSUM:
		return fmt.Sprintf("cusum, reference %g, decision %g, head start %g", *j.Reference, *j.Decision, *j.HeadStart)
	default:
		return fmt.Sprintf("%s, %s", s.Kind, together(j.Tests))
	}
}

// together joins names to "a, b and c".
func together(names []string) string {
	last := len(names) - 1
	switch last {
	case -1:
		return "no tests"
	case 0:
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
