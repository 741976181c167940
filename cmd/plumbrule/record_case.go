package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// caseFlags are the flags of record case.
type caseFlags struct {
	commonFlags
	id, at, finding, quantities, owner *string
}

func newRecordCaseCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "case DEVICE | ARTIFACT",
		Short: "open a case about something found wrong",
		Long: "A case holds what is done about something found wrong, one record for each step: the finding verified, the jobs in the window, a " +
			"decision on each, the notices, the cause, the correction, the release. It stays in the status until it is closed. Without --finding " +
			"it is about the failure of the device that no case answers, if there is one. \"plumbrule impact\" says which jobs are in doubt.",
		Example: "  plumbrule record case scan-03 --owner rs --reason \"the detour failed twice\" --by mk\n" +
			"  plumbrule record case ring-50 --id ring-dropped --owner rs --reason \"dropped\" --by mk",
		Annotations: seeAlso(statuses("0", "the record was written", "3", "the record would contradict others, or cannot be written"), "impact", "status"),
	}
	flags := flagsOf(cmd)
	f := caseFlags{
		id:         flags.text("id", "`ID` of the case; the day and the subject if not given"),
		at:         flags.text("time", "the `INSTANT` it was opened; now if not given"),
		finding:    flags.text("finding", "`PATH` of the check, certificate or event that shows what was found"),
		quantities: flags.text("quantities", "`QUANTITIES` it is about, apart by commas; every one if not given"),
		owner:      flags.text("owner", "`INITIALS` of who sees to it"),
	}
	f.commonFlags = flags.common()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		step, err := r.opening(args, &f)
		if err != nil {
			return err
		}
		if step.Amends == "" && len(r.set.Cases[step.Case]) > 0 {
			return unreadable(fmt.Sprintf("not written: there is a case %q already", step.Case), "give it another --id, or record a step of that case", nil)
		}
		r.told = append(r.told, fmt.Sprintf("case %s; its steps are recorded with: plumbrule record step %s --step …", step.Case, step.Case))
		return r.finish(cmd, records.StepPath(step, r.set.Site.Zone), step, step.Subject)
	}
	return cmd
}

// opening makes the step that opens a case.
func (r *recording) opening(args []string, f *caseFlags) (*records.CaseStep, error) {
	subject, err := r.subject(args, "device or artifact", slices.Concat(sortedIDs(r.set.Devices), sortedIDs(r.set.Artifacts)))
	if err != nil {
		return nil, err
	}
	s := &records.CaseStep{
		Step: records.CaseOpened, Case: *f.id, Subject: subject, Finding: *f.finding, Owner: *f.owner, Reason: *f.reason, Entered: r.now, Note: *f.note, Amends: *f.amends,
	}
	if s.Quantities, err = quantityList("--quantities", *f.quantities); err != nil {
		return nil, err
	}
	if s.Finding == "" {
		if err := r.unanswered(s); err != nil {
			return nil, err
		}
	}
	if s.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who opens it"}, anyText); err != nil {
		return nil, err
	}
	if err := ask(r, &s.Owner, "owner", "initials of who sees to it", anyText); err != nil {
		return nil, err
	}
	if err := ask(r, &s.Reason, "reason", "what was found", anyText); err != nil {
		return nil, err
	}
	if s.Time, err = r.instant(*f.at); err != nil {
		return nil, err
	}
	if s.Case == "" {
		s.Case = calendar.Of(s.Time, r.set.Site.Zone).String() + "-" + subject
	}
	return s, nil
}

// unanswered lets a case be about the failure of the device that no case answers.
func (r *recording) unanswered(s *records.CaseStep) error {
	d := deviceAt(r.set, r.now, s.Subject)
	if d == nil {
		return nil
	}
	var files []string
	for _, reason := range d.Reasons {
		if reason.Code != "case-missing" {
			continue
		}
		for _, source := range reason.Sources {
			files = append(files, strings.TrimSuffix(source.File, ".toml"))
		}
	}
	slices.Sort(files)
	switch files = slices.Compact(files); len(files) {
	case 0:
	case 1:
		s.Finding = files[0]
		r.told = append(r.told, "it is about "+files[0]+", the failure that no case answers")
	default:
		return misused(fmt.Sprintf("%s has %d failures that no case answers, expected the one it is about", s.Subject, len(files)), "add --finding with "+either(files))
	}
	return nil
}

// caseOf finds a case by its id, as it is now; nil: there is none.
func (r *recording) caseOf(id string) *rules.Case {
	a := rules.Evaluate(r.set, r.now, rules.Options{})
	for i := range a.Devices {
		for n := range a.Devices[i].Cases {
			if k := &a.Devices[i].Cases[n]; k.ID == id {
				return k
			}
		}
	}
	for i := range a.Artifacts {
		for n := range a.Artifacts[i].Cases {
			if k := &a.Artifacts[i].Cases[n]; k.ID == id {
				return k
			}
		}
	}
	return nil
}
