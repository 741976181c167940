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
	kind, err := answered(r, question{"kind", *f.kind, "the kind of event", kinds}, oneOfIDs("kind of event", kinds))
	if err != nil {
		return nil, err
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
	if out.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who did or decided it"}, anyText); err != nil {
		return nil, err
	}
	if err := r.askEvent(out); err != nil {
		return nil, err
	}
	out.Time, err = r.instant(*f.at)
	return out, err
}

// askEvent asks for what the kind of event needs and flags have not given.
func (r *recording) askEvent(e *records.Event) error {
	needs, _ := records.EventKeys(e.Kind)
	for _, key := range needs {
		var err error
		switch key {
		case "reason":
			err = ask(r, &e.Reason, key, "why", anyText)
		case "as-found":
			err = ask(r, &e.AsFound, key, "path of the check or certificate taken before it, or none", anyText)
		case "evidence":
			err = ask(r, &e.Evidence, key, "path of the check that justifies the return", anyText)
		case "version":
			err = ask(r, &e.Firmware, key, "version of the firmware loaded", anyText)
		case "location":
			err = ask(r, &e.Location, key, "the new place", anyText)
		case "owner":
			err = ask(r, &e.Owner, key, "the new owner", anyText)
		case "of":
			err = ask(r, &e.Of, key, "calibration, or the id of a procedure", anyText)
		case "interval":
			err = ask(r, &e.Interval, key, "the new interval, such as 6 months", quantity.ParseInterval)
		case "until":
			err = ask(r, &e.Until, key, "the last day, as 2026-12-15", calendar.ParseDate)
		case "since":
			err = ask(r, &e.Since, key, "the first day whose results are in doubt", calendar.ParseDate)
		case "certificate":
			err = ask(r, &e.Certificate, key, "path of the certificate record reviewed", anyText)
		case "outcome":
			err = ask(r, &e.Outcome, key, "accepted, accepted with limits or sent back", func(text string) (records.Outcome, error) { return records.Outcome(text), nil })
		case "quantities":
			if len(e.Quantities) == 0 {
				e.Quantities, err = answered(r, question{flag: key, text: "quantities that may still be measured, apart by commas"}, func(text string) ([]records.Quantity, error) {
					return quantityList("--quantities", text)
				})
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// ask fills a value that is still zero.
func ask[T comparable](r *recording, into *T, flag, text string, parse func(string) (T, error)) error {
	var zero T
	if *into != zero {
		return nil
	}
	v, err := answered(r, question{flag: flag, text: text}, parse)
	*into = v
	return err
}

// effective refuses an event that would have no effect: an extension after the due date, for a failed device or a second one;
// a return without proof, or without a withdrawal; a second withdrawal; nothing to lift.
func (r *recording) effective(e *records.Event, want string) error {
	if e.Amends != "" {
		return nil
	}
	if err := r.pointless(e); err != nil {
		return err
	}
	if e.Kind != records.Extension && e.Kind != records.ReturnToService {
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
		if !slices.Contains(reason.Sources, rules.Source{File: name}) {
			continue
		}
		switch reason.Code {
		case "extension-void":
			return unreadable("not written: "+reason.Sentence, "an extension is recorded before the due date, once, and not for a failed device", nil)
		case "return-unproven":
			return unreadable("not written: "+reason.Sentence, "check the device first, and name that check with --evidence", nil)
		}
	}
	return nil
}

// pointless refuses an event that contradicts the present state of service.
func (r *recording) pointless(e *records.Event) error {
	d := deviceAt(r.set, r.now, e.Subject)
	if d == nil {
		return nil
	}
	what := ""
	switch e.Kind {
	case records.Withdrawal:
		if d.Service.State == rules.Withdrawn {
			what = "it is withdrawn already, since " + d.Service.Since.String()
		}
	case records.ReturnToService:
		if d.Service.State != rules.Withdrawn {
			what = "it is " + string(d.Service.State) + ", not withdrawn"
		}
	case records.LimitationLifted:
		if !slices.ContainsFunc(d.Reasons, func(x rules.Reason) bool { return x.Code == "limitation" }) {
			what = "no limitation is in force"
		}
	case records.Retirement:
		if d.Service.State == rules.Retired {
			what = "it is retired already"
		}
	default:
	}
	if what == "" {
		return nil
	}
	return unreadable(fmt.Sprintf("not written: the event would have no effect on %s: %s", e.Subject, what), "correct an earlier event with --amends, if that was mistaken", nil)
}
