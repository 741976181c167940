package main

import (
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/rules/interval"
)

// intervalOptions are the flags of interval.
type intervalOptions struct {
	target, level             *parsed[float64]
	lengthen, shorten, within *parsed[float64]

	kind    *string
	instant instantFlags

	passed, of *parsed[int]
	outcomes   *string
	months     *parsed[float64]
}

// sameWithin is how far an interval may differ from the current one for its outcome to count as one at the current
// interval. A tenth is a convention without source; a laboratory seldom keeps the day.
const sameWithin = 0.1

func newIntervalCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use: "interval [DEVICE…] [--kind KIND] [FLAGS]\n" +
			"interval --passed NUMBER --of NUMBER [--months NUMBER] [FLAGS]\n" +
			"interval --outcomes FILE [--months NUMBER] [FLAGS]",
		Short: "propose calibration intervals from what calibrations found",
		Long: "Each calibration is an outcome: as found, before any adjustment, the device kept its limits by the decision rule or it " +
			"did not; one the rule leaves open does not count as kept. From the outcomes follow proposals by the methods of " +
			"ILAC-G24:2022 / OIML D 10:2022, clause 6 (headings read, wording from memory):\n\n" +
			"staircase: after each calibration longer by a factor if the error found was well inside the limit, shorter if it was " +
			"outside. The document fixes no factors; they are yours.\n\n" +
			"observed-reliability: the share of outcomes in tolerance is compared with the target by the exact binomial test, and the " +
			"interval stays unless the two differ by more than chance. How far it changes comes from the exponential model " +
			"R(t) = e^(-λt); a longer one has to be shown at the level, by the lower confidence limit.\n\n" +
			"Without flags of a calculator the outcomes come from the certificates of the records, for each device and for each kind. " +
			"Months for people are rounded down, in JSON they are not rounded.",
		Example: `  plumbrule interval scan-01 --at 2026-06-30
  plumbrule interval --kind "handheld scanner" --target 0.9

  # without records: 18 of 20 calibrations found the device in tolerance
  plumbrule interval --passed 18 --of 20 --target 0.95 --months 12

  # outcomes at several intervals, with |error|/MPE for the staircase
  plumbrule interval --outcomes outcomes.csv --months 12 --format json`,
		GroupID: groupCloser,
		Annotations: seeAlso(statuses(
			"0", "the proposals were printed, if only to keep the interval",
			"2", "a value is missing or cannot be used",
			"3", "the records or the file cannot be read or used",
		), "due", "explain", "decide"),
	}
	o := intervalFlags(flagsOf(cmd))
	cmd.ValidArgsFunction = e.completeDevices
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		counted, listed := o.passed.given() || o.of.given(), *o.outcomes != ""
		fromRecords := len(args) > 0 || *o.kind != "" || o.instant.given()
		switch {
		case counted && listed:
			return misused("--passed or --of beside --outcomes, expected one of the two", "count the outcomes, or list them in a file")
		case fromRecords && (counted || listed):
			return misused("flags of both the records and the calculator", "leave out devices, --kind, --at and --hindsight, or --passed, --of and --outcomes")
		case counted:
			return o.printShare(e, cmd)
		case listed:
			return o.printOutcomes(e, cmd)
		case o.months.given():
			return misused("--months without outcomes", "the records state the current interval; for the calculator give --passed and --of, or --outcomes")
		}
		return o.printReview(e, cmd, args)
	}
	return cmd
}

func (o *intervalOptions) share(f *flagSet, name string, least, value float64, usage, form string) *parsed[float64] {
	p := readFlag(f, name, usage, numberWithin(least, 0.9999, form))
	p.value = value
	return p
}

func (o *intervalOptions) plan() interval.Plan {
	return interval.Plan{Target: o.target.value, Confidence: o.level.value, SameWithin: sameWithin}
}

func (o *intervalOptions) staircase() interval.Staircase {
	return interval.Staircase{Lengthen: o.lengthen.value, Shorten: o.shorten.value, Within: o.within.value}
}

// onlyProposal stands once below every answer.
const onlyProposal = "This is only a proposal: an interval changes when somebody responsible records the change, and costs, conditions " +
	"of use and what a customer demands are theirs to weigh."

// refusedOutcomes turns what the rules refuse, which is the number of outcomes at most, into words about where they came from.
func refusedOutcomes(file string, err error) error {
	what, mend, _ := strings.Cut(err.Error(), "; mend: ")
	return unreadable(file+": "+what, mend, err)
}

// intervalFlags are the flags with their defaults.
func intervalFlags(f *flagSet) *intervalOptions {
	o := &intervalOptions{}
	f.head("What is asked for")
	o.target = o.share(f, "target", 0.001, 0.95, "the `SHARE` to be in tolerance at the end of an interval; 0.95 if not given", "a share from 0.001 to 0.9999")
	o.level = o.share(f, "level", 0.5, 0.95, "the `LEVEL` of confidence, of limits and of every change; 0.95 if not given", "a level from 0.5 to 0.9999")
	f.head("The staircase")
	o.lengthen = readFlag(f, "lengthen", "the `FACTOR` after a calibration well inside the limit; 1.2 if not given", numberWithin(1, 10, "a factor from 1 to 10"))
	o.lengthen.value = 1.2
	o.shorten = readFlag(f, "shorten", "the `FACTOR` after one outside it; 0.6 if not given", numberWithin(0.001, 1, "a factor from 0.001 to 1"))
	o.shorten.value = 0.6
	o.within = readFlag(f, "within", "the `SHARE` of the MPE that is well inside; 0.8 if not given", numberWithin(0.001, 1, "a share from 0.001 to 1"))
	o.within.value = 0.8
	f.head("From the records")
	o.kind = f.text("kind", "the devices of this `KIND`")
	o.instant = f.instant()
	f.head("Without records")
	o.passed = f.whole("passed", "the `NUMBER` of outcomes in tolerance", 0, 0, 1_000_000)
	o.of = f.whole("of", "the `NUMBER` of outcomes", 0, 1, 1_000_000)
	o.outcomes = f.text("outcomes", "the `FILE` with one outcome a row: months, passed (yes or no) and, if known, subject and ratio (|error|/MPE); - for standard input")
	o.months = readFlag(f, "months", "the current interval, a `NUMBER` of months", numberWithin(0.01, 1200, "a number of months from 0.01 to 1200"))
	return o
}
