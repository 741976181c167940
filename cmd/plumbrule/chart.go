package main

import "github.com/spf13/cobra"

func newChartCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "chart DEVICE | --csv FILE --column NAME",
		Short: "draw a control chart and tell which points signal",
		Long: "For a device, chart draws its control charts: the mean error of each check, by procedure, artifact and feature, begun " +
			"anew at each adjustment. With --csv it needs no records.\n\n" +
			"Charts single values with their moving ranges: centre line, control limits three standard deviations either side, " +
			"estimated from the mean moving range of the baseline, and the eight run tests of Nelson (1984). What the limits rest on too " +
			"thinly is said beside them; where they rest on nothing, there are none.",
		Example: `  plumbrule chart scan-01
  plumbrule chart scan-01 --procedure bar-weekly --feature A-C --svg a-c.svg

  # without records
  plumbrule chart --csv flow.csv --column x

  # limits from the first 20 points, as an SVG for a report
  plumbrule chart --csv bar.csv --column error_um --baseline 20 --svg bar.svg

  # what signals, for a script
  plumbrule chart --csv flow.csv --column x --format json --strict`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "charted",
			"1", "with --strict: a point signals, or there are no limits",
			"3", "the records or the file cannot be read, or say something that is no number",
		), "status", "explain"),
	}
	f := flagsOf(cmd)
	records := newDeviceChart(f)
	calculator := newChartCalculator(f)
	strict := f.strict()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) > 1:
			return noOperands(cmd, args[1:])
		case len(args) == 1 && calculator.wanted():
			return misused("both a device and --csv or --column", "chart a device of the records, or a file")
		case len(args) == 1:
			return records.print(e, cmd, args[0], *calculator.svg, *strict)
		case !calculator.wanted():
			return misused("neither a device nor --csv, expected what to chart", "name a device of the records, or a file and its column, for example --csv flow.csv --column x")
		}
		c, err := calculator.chart(e)
		if err != nil {
			return err
		}
		if err := e.print(formatOf(cmd), c.answer()); err != nil {
			return err
		}
		return attention(*strict, c.needsAttention())
	}
	return cmd
}
