package main

import (
	"github.com/spf13/cobra"

	"plumbrule/records/quantity"
)

// defaultWithinDays is how far ahead the due list looks.
const defaultWithinDays = 30

func newDueCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "due [--within TIME] | --from DATE --interval INTERVAL",
		Short: "what falls due, and when",
		Long: "Lists the calibrations and checks that are overdue, were never done, or fall due within a time. What is due to a day " +
			"is overdue from the next day on.\n\n" +
			"With --from it needs no records: it reckons due dates from an anchor. The k-th is the anchor plus k intervals, never the " +
			"date before plus one. A day that the month does not have becomes its last day.",
		Example: `  plumbrule due --within 30d

  # without records
  plumbrule due --from 2024-02-29 --interval "12 months" --count 5

  # at the end of the month
  plumbrule due --from 2026-10-05 --interval "6 months" --until month-end`,
		GroupID: groupDaily,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "the dates were printed",
			"1", "with --strict: something is due, overdue or was never done",
			"2", "a value is missing or cannot be used",
			"3", "records cannot be read or used; the list stands without them",
		), "status", "decide"),
	}
	flags := flagsOf(cmd)
	flags.head("From the records")
	within := readFlag(flags, "within", "list what falls due within this `TIME`: 30d, 6w or \"3 months\"; 30 days if not given", withinTime)
	instant := flags.instant()
	strict := flags.strict()
	reckon := newDueCalculator(flags)
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if !reckon.wanted() {
			ahead := within.value
			if !within.given() {
				ahead = quantity.Interval{Days: defaultWithinDays}
			}
			return e.dueList(cmd, instant, ahead, *strict)
		}
		if within.given() || instant.given() {
			return misused("flags of both the records and the calculator", "leave out --within, --at and --rev, or --from and --interval")
		}
		answer, err := reckon.answer()
		if err != nil {
			return err
		}
		return e.print(formatOf(cmd), answer)
	}
	return cmd
}
