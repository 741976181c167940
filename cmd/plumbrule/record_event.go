package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
)

// eventFlags are the flags of record event; each kind of event has its own among them.
type eventFlags struct {
	commonFlags
	kind, at, asFound, evidence, version, location, owner, of, quantities, certificate, outcome *string
	interval                                                                                    *parsed[quantity.Interval]
	until, since                                                                                *parsed[calendar.Date]
	upTo                                                                                        *parsed[quantity.Length]
}

func newRecordEventCommand(e *env) *cobra.Command {
	var kinds []string
	for _, k := range records.EventKindNames() {
		kinds = append(kinds, string(k))
	}
	cmd := &cobra.Command{
		Use:   "event DEVICE | ARTIFACT",
		Short: "record an adjustment, withdrawal, extension …",
		Long:  "The kinds are " + strings.Join(kinds, ", ") + ". \"plumbrule explain event\" says which keys belong to which.",
		Example: "  plumbrule record event scan-01 --kind adjustment --as-found none --reason \"field calibration loaded\" --by mk\n" +
			"  plumbrule record event cal-07 --kind extension --of calibration --until 2026-12-15 --reason \"laboratory closed\" --by rs",
		Annotations: seeAlso(statuses("0", "the record was written", "3", "the record would contradict others or have no effect, or cannot be written"), "explain", "status"),
	}
	flags := flagsOf(cmd)
	f := eventFlags{
		kind:        flags.text("kind", "`KIND` of event"),
		at:          flags.text("time", "the `INSTANT` it happened; now if not given"),
		asFound:     flags.text("as-found", "`PATH` of the check or certificate taken before an adjustment, or none"),
		evidence:    flags.text("evidence", "`PATH` of the check that justifies a return to service"),
		version:     flags.text("version", "`VERSION` of the firmware loaded"),
		location:    flags.text("location", "new `PLACE`"),
		owner:       flags.text("owner", "new `OWNER`"),
		of:          flags.text("of", "what is extended or changed: `WHAT` is calibration, or a procedure's id"),
		interval:    readFlag(flags, "interval", "new `INTERVAL`, such as \"6 months\"", quantity.ParseInterval),
		until:       readFlag(flags, "until", "last `DATE` of an extension", calendar.ParseDate),
		quantities:  flags.text("quantities", "`QUANTITIES` that may still be measured, apart by commas"),
		upTo:        flags.length("up-to", "and up to this `LENGTH`"),
		since:       readFlag(flags, "since", "first `DATE` whose results are in doubt", calendar.ParseDate),
		certificate: flags.text("certificate", "`PATH` of the certificate record reviewed"),
		outcome:     flags.text("outcome", "what came of a review, in a `WORD`: accepted, accepted with limits or sent back"),
	}
	f.commonFlags = flags.common()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		event, err := r.event(args, &f, kinds)
		if err != nil {
			return err
		}
		want := records.EventPath(event, r.set.Site.Zone)
		if err := r.effective(event, want); err != nil {
			return err
		}
		return r.finish(cmd, want, event, event.Subject)
	}
	return cmd
}

func (r *recording) event(args []string, f *eventFlags, kinds []string) (*records.Event, error) {
	subject, err := r.subject(args, "device or artifact", slices.Concat(sortedIDs(r.set.Devices), sortedIDs(r.set.Artifacts)))
	if err != nil {
		return nil, err
	}
	kind, err := r.need("kind", *f.kind, "the kind of event", kinds...)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(kinds, kind) {
		return nil, misused(fmt.Sprintf("--kind: there is no kind of event %q", kind), nearOf(kind, kinds))
	}
	out := &records.Event{
		Subject: subject, Kind: records.EventKind(kind), Entered: r.now, Reason: *f.reason, Note: *f.note, Amends: *f.amends,
		AsFound: *f.asFound, Evidence: *f.evidence, Firmware: *f.version, Location: *f.location, Owner: *f.owner, Of: *f.of,
		Interval: f.interval.value, Until: f.until.value, UpTo: f.upTo.value, Since: f.since.value, Certificate: *f.certificate,
		Outcome: records.Outcome(*f.outcome),
	}
	if out.Quantities, err = quantityList("--quantities", *f.quantities); err != nil {
		return nil, err
	}
	if out.By, err = r.need("by", *f.by, "initials of who did or decided it"); err != nil {
		return nil, err
	}
	out.Time, err = r.instant(*f.at)
	return out, err
}

// effective refuses an extension that the rules would not count: after the due date, for a failed device, or a second one.
func (r *recording) effective(e *records.Event, want string) error {
	if e.Kind != records.Extension {
		return nil
	}
	name := records.NextFree(want, r.repo.Exists)
	trial := *e
	trial.File = name
	set := *r.set
	set.Events = maps.Clone(r.set.Events)
	set.Events[e.Subject] = append(slices.Clone(r.set.Events[e.Subject]), &trial)
	d := deviceAt(&set, r.now, e.Subject)
	if d == nil {
		return nil
	}
	for _, reason := range d.Reasons {
		if reason.Code == "extension-void" && slices.Contains(reason.Sources, rules.Source{File: name}) {
			return unreadable("not written: "+reason.Sentence, "an extension is recorded before the due date, once, and not for a failed device", nil)
		}
	}
	return nil
}
