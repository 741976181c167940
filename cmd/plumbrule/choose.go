package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/records/spelling"
	"plumbrule/rules/choose"
	"plumbrule/rules/figure"
)

// chooseOptions are the flags of choose.
type chooseOptions struct {
	tolerance, length, path *parsed[quantity.Length]
	quantity                *parsed[records.Quantity]
	from, until             *parsed[calendar.Date]
	temperature             *parsed[[2]quantity.Temperature]
	expansion               *parsed[quantity.Expansion]
	instant                 instantFlags
	strict                  *bool
}

func newChooseCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use: "choose JOB [FLAGS]\n" +
			"choose --tolerance LENGTH --length LENGTH [FLAGS]",
		Short: "which device can hold a job's tolerance, and what would mend the others",
		Long: "Ranks the devices of the records for a job: a recorded one, or a tolerance over a length. For each device: its bound at that " +
			"length or path, which part of half the tolerance that takes, how far from the middle of the zone a measured value proves " +
			"conformity at 95 % (the bound as a rectangular law, JCGM 100 4.3.7; ISO 14253-1), how long a path would still do, and what its " +
			"own checks found since its last adjustment. Then what speaks against it now or before the job's end, and what would mend that.\n\n" +
			"A tolerance is the full width of its zone, as on a job record: 0.1 mm is ±0.05 mm. Half of it must be at least 4 times the " +
			"bound (common practice, no source), or as often as the site's [choose] minimum-ratio says.\n\n" +
			"The records know nothing of surfaces, sight lines or reach: whether a device can see the part is for a person to judge.",
		Example: `  plumbrule choose p-2626

  plumbrule choose --tolerance "1.2 mm" --length "3 m" --path "4 m"

  # the part may be warm, and its lengths are not corrected to 20 °C
  plumbrule choose --tolerance "±0.5 mm" --length "2 m" \
    --temperature "18 °C to 24 °C" --expansion 17e-6/K`,
		GroupID: groupDaily,
		Annotations: seeAlso(statuses(
			"0", "the devices were ranked",
			"1", "with --strict: none is suitable as it is",
			"2", "there is no such job, or a value is missing or cannot be used",
			"3", "records cannot be read or used; the answer stands without them",
		), "plan", "status", "growth", "decide"),
	}
	o := &chooseOptions{}
	f := flagsOf(cmd)
	f.head("A job that is not recorded")
	o.tolerance = readFlag(f, "tolerance", "the full width of the tolerance zone, a `LENGTH`; or half of it with its sign, \"±0.05 mm\"", fullTolerance)
	o.length = f.length("length", "the longest straight `LENGTH`")
	o.path = f.length("path", "the longest `LENGTH` travelled while measuring; without it the straight one, the shortest way there can be")
	o.quantity = readFlag(f, "quantity", "what has the tolerance, a `QUANTITY`: "+either(quantityWords())+"; distance if not given", oneOf(quantityKinds()...))
	o.quantity.value = records.Distance
	f.head("When, and how warm")
	o.from = readFlag(f, "from", "first `DATE` of measuring; that of the job, or today, if not given", calendar.ParseDate)
	o.until = readFlag(f, "until", "last `DATE`; that of the job, or the first, if not given", calendar.ParseDate)
	o.temperature = readFlag(f, "temperature", "the `RANGE` of the part's temperature, \"18 °C to 24 °C\", if its lengths are not corrected to 20 °C", temperatureRange)
	o.expansion = readFlag(f, "expansion", "the part's `COEFFICIENT` of expansion, such as 17e-6/K; needed with --temperature", quantity.ParseExpansion)
	f.head("From the records")
	o.instant = f.instant()
	o.strict = f.strict()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) > 1 {
			return noOperands(cmd, args[1:])
		}
		if err := o.check(args); err != nil {
			return err
		}
		j, err := e.judge(cmd.Context(), o.instant)
		if err != nil {
			return err
		}
		job, err := o.job(j, args)
		if err != nil {
			return err
		}
		choice, err := choose.For(j.set, j.assessment, j.options, job)
		if err != nil {
			return o.inFlags(err, len(args) == 1)
		}
		if err := e.print(formatOf(cmd), (&chosen{j, choice}).answer()); err != nil {
			return err
		}
		if err := j.invalid(); err != nil {
			return err
		}
		return attention(*o.strict, !slices.ContainsFunc(choice.Candidates, func(c choose.Candidate) bool { return c.Standing == choose.Suitable }))
	}
	return cmd
}

// check refuses flags that do not go together, before anything is read.
func (o *chooseOptions) check(args []string) error {
	stated := o.tolerance.given() || o.length.given() || o.path.given() || o.quantity.given()
	switch {
	case len(args) == 1 && stated:
		return misused("a recorded job beside a tolerance or length, expected one or the other", "leave out the job, or --tolerance, --length, --path and --quantity")
	case len(args) == 1:
	case !o.tolerance.given() && !o.length.given():
		return misused("neither a job nor a tolerance, expected what is to be held", `name a recorded job, or say for example --tolerance "0.1 mm" --length "3 m"`)
	case !o.tolerance.given():
		return misused("no --tolerance, expected the width of the zone to hold", `state it, for example --tolerance "0.1 mm"`)
	case !o.length.given():
		return misused("no --length, expected the longest straight length that has the tolerance", `state it, for example --length "3 m"`)
	}
	switch {
	case o.temperature.given() && !o.expansion.given():
		return misused("--temperature without --expansion, expected the part's coefficient too", "add it, for example --expansion 11.5e-6/K for steel")
	case o.expansion.given() && !o.temperature.given():
		return misused("--expansion without --temperature, expected how warm the part may be", `add it, for example --temperature "18 °C to 24 °C"`)
	}
	return nil
}

// job makes the question of a record or of the flags.
func (o *chooseOptions) job(j *judged, args []string) (choose.Job, error) {
	job := choose.Job{Needs: []choose.Need{{Quantity: o.quantity.value, Tolerance: o.tolerance.value, Length: o.length.value, Path: o.path.value}}}
	if len(args) == 1 {
		record, err := j.job(args[0])
		if err != nil {
			return job, err
		}
		job = choose.OfRecord(record)
	}
	if o.from.given() {
		job.Begin = o.from.value
	}
	if o.until.given() {
		job.End = o.until.value
	}
	if o.temperature.given() {
		r := o.temperature.value
		job.Climate = &choose.Climate{LowCelsius: r[0].Celsius(), HighCelsius: r[1].Celsius(), Expansion: o.expansion.value}
	}
	return job, nil
}

// job finds a recorded job, or the record that corrects it.
func (j *judged) job(id string) (*records.Job, error) {
	var found *records.Job
	var ids []string
	for _, job := range j.set.Jobs {
		ids = append(ids, job.ID)
		if job.ID == id || found != nil && job.Amends != "" && strings.TrimSuffix(job.Amends, ".toml") == strings.TrimSuffix(found.File, ".toml") {
			found = job
		}
	}
	if found != nil {
		return found, nil
	}
	mend := "the jobs are the files under jobs/"
	if near := spelling.Nearest(id, ids); near != "" {
		mend = fmt.Sprintf("did you mean %q? %s", near, mend)
	}
	return nil, misused(fmt.Sprintf("there is no job %q", id), mend)
}

// inFlags turns what the rules refuse into words about the flag it came from.
func (o *chooseOptions) inFlags(err error, recorded bool) error {
	flags := map[string]string{"tolerance": "--tolerance", "length": "--length", "path": "--path", "end": "--until", "temperature": "--temperature", "alpha_artifact": "--expansion", "celsius": "--temperature"}
	if f, ok := errors.AsType[*figure.InputError](err); ok {
		name := f.Field
		if flag := flags[f.Field]; flag != "" && (!recorded || f.Field != "path" && f.Field != "length" && f.Field != "tolerance") {
			name = flag
		}
		return misused(fmt.Sprintf("%s is %s, expected %s", name, f.Found, f.Expected), f.Mend)
	}
	return err
}

// fullTolerance reads a tolerance: the width of its zone, or half of it behind ±.
func fullTolerance(text string) (quantity.Length, error) {
	half, symmetric := strings.CutPrefix(strings.TrimSpace(text), "±")
	l, err := quantity.ParseLength(strings.TrimSpace(half))
	switch {
	case err != nil:
		return l, err
	case l.Micrometres() <= 0:
		return l, &failure{what: fmt.Sprintf("%q, expected a length above 0", text), mend: `state the full width of the zone, such as "0.1 mm", or half of it as "±0.05 mm"`}
	case symmetric:
		return quantity.Millimetres(2 * l.Millimetres()), nil
	}
	return l, nil
}

// temperatureRange reads "18 °C to 24 °C".
func temperatureRange(text string) (out [2]quantity.Temperature, err error) {
	low, high, found := strings.Cut(text, " to ")
	if !found {
		return out, &failure{what: fmt.Sprintf("%q, expected two temperatures", text), mend: `write "18 °C to 24 °C"`}
	}
	if out[0], err = quantity.ParseTemperature(strings.TrimSpace(low)); err != nil {
		return out, err
	}
	out[1], err = quantity.ParseTemperature(strings.TrimSpace(high))
	return out, err
}

func quantityKinds() (out []records.Quantity) {
	for _, q := range records.Quantities() {
		out = append(out, q.Name)
	}
	return out
}

func quantityWords() (out []string) {
	for _, q := range quantityKinds() {
		out = append(out, string(q))
	}
	return out
}
