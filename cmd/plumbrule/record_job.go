package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// jobFlags are the flags of record job.
type jobFlags struct {
	commonFlags
	title, customer   *string
	devices, measured *[]string
	before, after     *[]string
	begin, end        *parsed[calendar.Date]
}

func newRecordJobCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "job ID",
		Short: "record delivered work that rests on a device's measurements",
		Long:  "For each quantity state the tightest tolerance, the longest straight length and the longest path travelled: they decide, if a device fails, whether the job is in doubt. A check right before and one right after it, named here, keep it out of doubt when the device fails later.",
		Example: "  plumbrule record job J-2026-118 --title \"blade roots\" --device scan-01 --begin 2026-10-12 --end 2026-10-13 \\\n" +
			"    --measured \"distance,0.4 mm,1.2 m,3 m\" --by mk",
		Annotations: seeAlso(statuses("0", "the record was written", "3", "the record would contradict others, or cannot be written"), "status"),
	}
	flags := flagsOf(cmd)
	f := jobFlags{
		title:    flags.text("title", "what was measured, as a `TEXT`"),
		customer: flags.text("customer", "the customer's `REFERENCE`"),
		devices:  flags.list("device", "`ID` of a device used; once for each"),
		measured: flags.list("measured", "the most demanding thing of a quantity, as `QUANTITY,TOLERANCE,LENGTH[,PATH]`; once for each quantity"),
		before:   flags.list("checked-before", "`PATH` of a check of its device made right before it; once for each device"),
		after:    flags.list("checked-after", "`PATH` of a check of its device made right after it; once for each device"),
		begin:    readFlag(flags, "begin", "first `DATE` of measuring", calendar.ParseDate),
		end:      readFlag(flags, "end", "last `DATE`; the first if not given", calendar.ParseDate),
	}
	f.commonFlags = flags.common()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		job, err := r.job(args, &f)
		if err != nil {
			return err
		}
		return r.finish(cmd, records.JobPath(job), job, "")
	}
	return cmd
}

func (r *recording) job(args []string, f *jobFlags) (*records.Job, error) {
	id, err := r.subject(args, "job id", nil)
	if err != nil {
		return nil, err
	}
	j := &records.Job{
		ID: id, Customer: *f.customer, Devices: *f.devices, Begin: f.begin.value, End: f.end.value, Entered: r.now,
		Note: *f.note, Amends: *f.amends, Reason: *f.reason, CheckedBefore: *f.before, CheckedAfter: *f.after,
	}
	if j.Title, err = answered(r, question{flag: "title", given: *f.title, text: "what was measured"}, anyText); err != nil {
		return nil, err
	}
	if j.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who enters it"}, anyText); err != nil {
		return nil, err
	}
	if len(j.Devices) == 0 {
		device, err := answered(r, question{flag: "device", text: "a device used", offered: sortedIDs(r.set.Devices)}, oneOfIDs("device", sortedIDs(r.set.Devices)))
		if err != nil {
			return nil, err
		}
		j.Devices = []string{device}
	}
	if j.Begin.IsZero() {
		if j.Begin, err = answered(r, question{flag: "begin", text: "the first day of measuring, as 2026-10-05"}, calendar.ParseDate); err != nil {
			return nil, err
		}
	}
	if j.End.IsZero() {
		j.End = j.Begin
	}
	j.Measured, err = r.measured(*f.measured)
	return j, err
}

// measured reads QUANTITY,TOLERANCE,LENGTH[,PATH].
func (r *recording) measured(entries []string) ([]records.JobFeature, error) {
	if len(entries) == 0 {
		list, err := answered(r, question{flag: "measured", text: "quantity, tolerance, length and path, as distance,0.4 mm,1.2 m,3 m"}, func(text string) ([]records.JobFeature, error) {
			return r.measured([]string{text})
		})
		return list, err
	}
	var out []records.JobFeature
	for _, entry := range entries {
		parts := strings.Split(entry, ",")
		if len(parts) < 3 || len(parts) > 4 {
			return nil, misused(fmt.Sprintf("--measured: %q, expected quantity, tolerance, length and perhaps the path", entry), `write for example "distance,0.4 mm,1.2 m,3 m"`)
		}
		quantities, err := quantityList("--measured", parts[0])
		if err != nil {
			return nil, err
		}
		m := records.JobFeature{Quantity: quantities[0]}
		for i, into := range []*quantity.Length{&m.Tolerance, &m.Length, &m.Path}[:len(parts)-1] {
			if *into, err = quantity.ParseLength(strings.TrimSpace(parts[i+1])); err != nil {
				return nil, spoken("--measured", err)
			}
		}
		out = append(out, m)
	}
	return out, nil
}
