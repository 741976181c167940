package main

import (
	"github.com/spf13/cobra"

	"plumbrule/records/quantity"
)

// driftOptions are the flags of drift.
type driftOptions struct {
	level   *parsed[float64]
	horizon *parsed[quantity.Interval]

	procedure, artifact, feature *string
	instant                      instantFlags

	csv, x, y *string
	limits    *numberList
}

// defaultHorizonMonths is how far ahead a straight line is believed. There is no source; two calibration intervals of a year.
const defaultHorizonMonths = 24

func newDriftCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "drift DEVICE|ARTIFACT [FLAGS]\ndrift --csv FILE --x NAME --y NAME [FLAGS]",
		Short: "how errors go with time, and when they may meet a limit",
		Long: "Draws a straight line through errors over time and says how far it can be trusted. The day to act by is when the " +
			"prediction band, which holds one further reading, first meets the limit; it is named only if the slope is significant at the " +
			"level. Beside the line stand a slope that outliers cannot turn (Theil and Sen) and whether neighbouring points depend on each " +
			"other.\n\n" +
			"For a device, there is a line for each control chart's mean errors, with the MPE as limit, and no line crosses an adjustment " +
			"or a repair of the device. A new certificate of the artifact does not end a line, since it does not change the device; by how " +
			"much the certified value moved is said beside it. The errors that its certificates state are compared from as left to the next " +
			"as found. Drifts on several artifacts are compared, to tell a device that drifts from an artifact that does.\n\n" +
			"For an artifact, its certified values are compared from one certificate to the next: the change beside its expanded " +
			"uncertainty, the two values taken as independent; a ratio above 1 is more than the uncertainties explain. From three values on " +
			"there is a line.\n\n" +
			"With --csv it needs no records. The column x may hold numbers, or dates such as 2026-06-30, which count in days from the " +
			"earliest. For each --limit it says where the line, its confidence band and its prediction band meet it.",
		Example: `  plumbrule drift scan-02
  plumbrule drift scan-02 --feature A-C --horizon "12 months"
  plumbrule drift bar-2500

  # without records
  plumbrule drift --csv drift.csv --x day --y error_um --limit 15
  plumbrule drift --csv bar.csv --x date --y error_um --limit 15 --limit -15`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "the lines were printed, if only to say that there is none",
			"2", "there is no such device or artifact, or a value cannot be used",
			"3", "the records or the file cannot be read or used",
		), "chart", "interval", "growth", "summary"),
	}
	o := &driftOptions{}
	f := flagsOf(cmd)
	f.head("What is asked for")
	o.level = levelFlag(f, "the two-sided `LEVEL` of the bands; 0.95 if not given")
	f.head("From the records")
	o.horizon = readFlag(f, "horizon", "how far ahead the line is believed, a `TIME`; 24 months if not given", withinTime)
	o.horizon.value = quantity.Interval{Months: defaultHorizonMonths}
	o.procedure = f.text("procedure", "only checks by this procedure, by its `ID`")
	o.artifact = f.text("artifact", "only checks with this artifact, by its `ID`")
	o.feature = f.text("feature", "only checks of this `FEATURE`")
	o.instant = f.instant()
	f.head("Without records")
	o.csv = f.text("csv", "the `FILE` with one point a row, comma, semicolon or tab separated below a header row; - for standard input")
	o.x = f.text("x", "the `NAME` of the column with the days, dates or whatever else y goes with")
	o.y = f.text("y", "the `NAME` of the column with the errors or readings")
	o.limits = &numberList{}
	f.Var(o.limits, "limit", "a limit of y, a `NUMBER` in its unit with its sign; may be given several times")
	f.headed("limit")
	cmd.ValidArgsFunction = e.completeSubjects
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		calculated := *o.csv != "" || *o.x != "" || *o.y != "" || len(o.limits.values) > 0
		fromRecords := *o.procedure != "" || *o.artifact != "" || *o.feature != "" || o.instant.given() || o.horizon.given()
		switch {
		case len(args) > 1:
			return noOperands(cmd, args[1:])
		case calculated && (len(args) == 1 || fromRecords):
			return misused("flags of both the records and the calculator", "name a device or an artifact of the records, or --csv, --x, --y and --limit")
		case calculated:
			return o.printLine(e, cmd)
		case len(args) == 0:
			return misused("neither a device nor --csv, expected what drifts", "name a device or an artifact of the records, or a file and its columns, for example --csv drift.csv --x day --y error_um")
		}
		return o.printSubject(e, cmd, args[0])
	}
	return cmd
}

// levelFlag adds the two-sided level of bands and intervals.
func levelFlag(f *flagSet, usage string) *parsed[float64] {
	p := readFlag(f, "level", usage, numberWithin(0.5, 0.9999, "a level from 0.5 to 0.9999"))
	p.value = 0.95
	return p
}
