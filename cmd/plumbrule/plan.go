package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/rules/plan"
)

// defaultWeeks is how far ahead a plan looks.
const defaultWeeks = 6

func newPlanCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "plan [--weeks N] [--calendar FILE]",
		Short: "which checks and calibrations to do in the coming weeks, and which jobs are not covered",
		Long: "Lists the work of the coming weeks from the due dates: each check as often as it falls due, as if the one before were made on " +
			"its day; each calibration on the last day to send it away, its due date less the lead time. What is late stands on today. The " +
			"work is gathered into batches of one week: checks with one artifact at one place, calibrations by one laboratory. Then the jobs under way or planned " +
			"in that time, and which of their devices do not cover them.\n\n" +
			"The laboratory is that of the last certificate, the artifact that of the last check by the procedure.\n\n" +
			"With --calendar the batches are also written as an iCalendar file (RFC 5545) of whole days, for any calendar program. A batch keeps " +
			"its identity from plan to plan, so that a newer file moves entries and does not double them.",
		Example: `  plumbrule plan --weeks 6

  # for a calendar, and for a spreadsheet
  plumbrule plan --calendar checks.ics
  plumbrule plan --weeks 2 --format csv > plan.csv`,
		GroupID: groupDaily,
		Args:    noOperands,
		Annotations: seeAlso(statuses(
			"0", "the plan was printed",
			"1", "with --strict: something is late, cannot be done as it is, or a job is not covered",
			"2", "a value is missing or cannot be used",
			"3", "records cannot be read or used, or the calendar cannot be written",
		), "due", "choose", "status"),
	}
	f := flagsOf(cmd)
	weeks := f.whole("weeks", fmt.Sprintf("plan this many weeks, a whole `NUMBER`; %d if not given", defaultWeeks), defaultWeeks, plan.LeastWeeks, plan.MostWeeks)
	file := f.text("calendar", "write the batches to this `FILE` as iCalendar too")
	instant := f.instant()
	strict := f.strict()
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		j, err := e.judge(cmd.Context(), instant)
		if err != nil {
			return err
		}
		p, err := plan.For(j.set, j.assessment, weeks.value)
		if err != nil {
			return err
		}
		if *file != "" {
			if err := e.writeOutput(*file, func(w io.Writer) error { return writeCalendar(w, &planned{j, p}) }); err != nil {
				return err
			}
		}
		if err := e.print(formatOf(cmd), (&planned{j, p}).answer()); err != nil {
			return err
		}
		if err := j.invalid(); err != nil {
			return err
		}
		return attention(*strict, slices.ContainsFunc(p.Tasks, func(t plan.Task) bool { return t.Late || t.Objection != "" }) ||
			slices.ContainsFunc(p.Jobs, func(j plan.JobCover) bool { return len(j.Gaps) > 0 }))
	}
	return cmd
}

// taskWords says what a task is, in a line.
func taskWords(t *plan.Task) string {
	out := t.Subject + " " + t.What
	if t.Kind == plan.Calibration {
		out = fmt.Sprintf("%s: send away, due %s less %s", t.Subject, t.Due, t.Lead)
	}
	var more []string
	if t.Late {
		more = append(more, "late")
	}
	if t.Objection != "" {
		more = append(more, t.Objection)
	}
	if len(t.Jobs) > 0 {
		more = append(more, "for "+strings.Join(t.Jobs, ", "))
	}
	if len(more) > 0 {
		out += " (" + strings.Join(more, "; ") + ")"
	}
	return out
}
