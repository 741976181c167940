package main

import "github.com/spf13/cobra"

func newChartCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "chart DEVICE | --csv FILE --column NAME",
		Short: "draw a control chart and tell which points signal",
		Long: "For a device, chart draws its control charts: the error of each check, by procedure, artifact and feature, begun " +
			"anew at each adjustment and with each new certificate of the artifact. With --csv it needs no records.\n\n" +
			"The kinds are single values with their moving ranges (individuals), means of samples with their ranges (mean-range) or " +
			"standard deviations (mean-sd), the exponentially weighted moving average (ewma) and cumulative sums (cusum); \"plumbrule " +
			"explain charts\" says when to choose which. Centre and standard deviation are estimated from the baseline, or known. For a " +
			"device the records say which kind; with the flags the same records are looked at through another chart, and nothing is " +
			"recorded.\n\n" +
			"What the limits rest on too thinly is said beside them; where they rest on nothing, there are none. How often the chart " +
			"raises a false alarm is told as its average run length in control.",
		Example: `  plumbrule chart scan-01
  plumbrule chart scan-01 --procedure bar-weekly --feature A-C --svg a-c.svg

  # the same checks through a chart that sees small shifts sooner
  plumbrule chart scan-01 --feature A-C --kind cusum --reference 0.5

  # without records
  plumbrule chart --csv flow.csv --column x

  # limits from the first 20 points, as an SVG for a report
  plumbrule chart --csv bar.csv --column error_um --baseline 20 --svg bar.svg

  # samples: each row names its sample
  plumbrule chart --csv piston-rings.csv --column diameter_mm --group sample \
    --kind mean-range --baseline 25

  # centre and standard deviation are known
  plumbrule chart --csv flow.csv --column x --kind ewma --weight 0.3 \
    --target 50 --sd 2.0539

  # what signals, for a script
  plumbrule chart --csv flow.csv --column x --format json --strict \
    --tests "point-beyond, same-side 7"`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "charted",
			"1", "with --strict: a point signals, or there are no limits",
			"3", "the records or the file cannot be read, or say something that is no number",
		), "status", "explain", "run-length"),
	}
	f := flagsOf(cmd)
	records := newDeviceChart(f)
	calculator := newChartCalculator(f)
	flags := f.chart()
	f.head("The answer")
	svg := f.text("svg", "write the drawing to this `FILE` too")
	strict := f.strict()
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) > 1:
			return noOperands(cmd, args[1:])
		case len(args) == 1 && calculator.wanted():
			return misused("both a device and --csv, --column or --group", "chart a device of the records, or a file")
		case len(args) == 1:
			return records.print(e, cmd, flags, args[0], *svg, *strict)
		case !calculator.wanted():
			return misused("neither a device nor --csv, expected what to chart", "name a device of the records, or a file and its column, for example --csv flow.csv --column x")
		}
		c, err := calculator.chart(e, flags, *svg)
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
