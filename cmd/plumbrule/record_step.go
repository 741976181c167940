package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

// stepFlags are the flags of record step; each kind of step has its own among them.
type stepFlags struct {
	commonFlags
	kind, at, outcome, evidence, jobs, decision, customer, owner *string
	since, until                                                 *parsed[calendar.Date]
}

func newRecordStepCommand(e *env) *cobra.Command {
	var kinds, decisions []string
	for _, k := range records.StepKindNames() {
		if k != records.CaseOpened {
			kinds = append(kinds, string(k))
		}
	}
	for _, d := range records.JobDecisions() {
		decisions = append(decisions, string(d))
	}
	cmd := &cobra.Command{
		Use:   "step CASE",
		Short: "record a step of a case: verified, decision, release, closed …",
		Long: "The steps are " + strings.Join(kinds, ", ") + ". \"plumbrule explain case\" says which keys belong to which. A window without --since is the " +
			"one that impact finds, with its jobs. A release by somebody who adjusted the device is refused, and so is closing a case with something left to do.",
		Example: "  plumbrule record step 2026-11-02-scan-03 --step decision --jobs p-2624 --decision inform --reason \"74 % of half the tolerance\" --by rs\n" +
			"  plumbrule record step 2026-11-02-scan-03 --step closed --reason \"all done\" --by rs",
		Annotations: seeAlso(statuses("0", "the record was written", "2", "there is no such case, or a value is missing or cannot be used",
			"3", "the record would contradict others, comes too early, or cannot be written"), "record", "impact", "status"),
	}
	flags := flagsOf(cmd)
	f := stepFlags{
		kind:     flags.text("step", "`KIND` of step"),
		at:       flags.text("time", "the `INSTANT` it was done; now if not given"),
		outcome:  flags.text("outcome", "what came of it, in a `WORD`: confirmed or not confirmed; effective or not effective"),
		evidence: flags.text("evidence", "`PATH` of the check, certificate or event it rests on; as-found: or none"),
		since:    readFlag(flags, "since", "window: first `DATE` whose results are in doubt", calendar.ParseDate),
		until:    readFlag(flags, "until", "window: last such `DATE`; it lasts if not given", calendar.ParseDate),
		jobs:     flags.text("jobs", "`JOBS` it is about, apart by commas"),
		decision: flags.text("decision", "what becomes of them, in a `WORD`: "+either(decisions)),
		customer: flags.text("customer", "notice: the customer's `REFERENCE`"),
		owner:    flags.text("owner", "handover: `INITIALS` of who sees to the case from now on"),
	}
	f.commonFlags = flags.common()
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		r, err := e.record(*f.dry)
		if err != nil {
			return err
		}
		step, k, err := r.step(args, &f, kinds)
		if err != nil {
			return err
		}
		return r.finish(cmd, records.StepPath(step, r.set.Site.Zone), step, k.Opened.Subject)
	}
	return cmd
}

func (r *recording) step(args []string, f *stepFlags, kinds []string) (*records.CaseStep, *rules.Case, error) {
	ids := sortedIDs(r.set.Cases)
	if len(ids) == 0 {
		return nil, nil, misused("there is no case", "open one first: plumbrule record case")
	}
	id, err := r.subject(args, "case", ids)
	if err != nil {
		return nil, nil, err
	}
	k := r.caseOf(id)
	if k == nil {
		return nil, nil, unreadable(fmt.Sprintf("case %q cannot be judged", id), `"plumbrule validate" says what is wrong with its records`, nil)
	}
	kind, err := answered(r, question{"step", *f.kind, "the kind of step", kinds}, oneOfIDs("kind of step", kinds))
	if err != nil {
		return nil, nil, err
	}
	s := &records.CaseStep{
		Case: id, Step: records.StepKind(kind), Entered: r.now, Reason: *f.reason, Note: *f.note, Amends: *f.amends, Owner: *f.owner,
		Outcome: records.Outcome(*f.outcome), Evidence: *f.evidence, Since: f.since.value, Until: f.until.value, Jobs: jobList(*f.jobs),
		Decision: records.JobDecision(*f.decision), Customer: *f.customer,
	}
	r.foundWindow(s, k)
	if s.By, err = answered(r, question{flag: "by", given: *f.by, text: "initials of who did or decided it"}, anyText); err != nil {
		return nil, nil, err
	}
	if err := r.askStep(s); err != nil {
		return nil, nil, err
	}
	if s.Time, err = r.instant(*f.at); err != nil {
		return nil, nil, err
	}
	return s, k, r.inOrder(s, k)
}

func jobList(text string) []string {
	var out []string
	for part := range strings.SplitSeq(text, ",") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}

// foundWindow fills in a window that nobody stated from what impact finds.
func (r *recording) foundWindow(s *records.CaseStep, k *rules.Case) {
	if s.Step != records.CaseWindow || !s.Since.IsZero() || k.Since.IsZero() {
		return
	}
	s.Since = calendar.Of(k.Since, r.set.Site.Zone)
	if s.Until.IsZero() && !k.Until.IsZero() {
		s.Until = calendar.Of(k.Until, r.set.Site.Zone)
	}
	if len(s.Jobs) == 0 {
		s.Jobs = k.Jobs
	}
	r.told = append(r.told, "the window and its jobs are those that \"plumbrule impact "+k.Opened.Subject+"\" finds")
}

// askStep asks for what the kind of step needs and flags have not given.
func (r *recording) askStep(s *records.CaseStep) error {
	needs, _ := records.StepKeys(s.Step)
	for _, key := range needs {
		var err error
		switch key {
		case "reason":
			err = ask(r, &s.Reason, key, "why, or what was found", anyText)
		case "outcome":
			words := records.StepOutcomes(s.Step)
			err = ask(r, &s.Outcome, key, either(texts(words)), oneOf(words...))
		case "evidence":
			err = ask(r, &s.Evidence, key, "path of the record it rests on", anyText)
		case "since":
			err = ask(r, &s.Since, key, "the first day whose results are in doubt", calendar.ParseDate)
		case "decision":
			err = ask(r, &s.Decision, key, either(texts(records.JobDecisions())), oneOf(records.JobDecisions()...))
		case "customer":
			err = ask(r, &s.Customer, key, "the customer's reference", anyText)
		case "owner":
			err = ask(r, &s.Owner, key, "initials of who sees to the case from now on", anyText)
		case "jobs":
			if len(s.Jobs) == 0 {
				s.Jobs, err = answered(r, question{flag: key, text: "jobs it is about, apart by commas"}, func(text string) ([]string, error) { return jobList(text), nil })
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func texts[S ~string](words []S) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}

// inOrder refuses a step that comes too early or too late: a release by somebody who adjusted, closing with something left to
// do, a step of a case that is closed.
func (r *recording) inOrder(s *records.CaseStep, k *rules.Case) error {
	if s.Amends != "" {
		return nil
	}
	late := s.Step != records.CaseReopened && s.Step != records.CaseChecked
	switch {
	case !k.Open && late:
		return unreadable(fmt.Sprintf("not written: case %s is closed", k.ID), "record the step reopened first, if something is left to do after all", nil)
	case k.Open && !late:
		return unreadable(fmt.Sprintf("not written: case %s is not closed", k.ID), "record the step closed first", nil)
	case s.Step == records.CaseClosed && len(k.Lacks) > 0:
		return unreadable(fmt.Sprintf("not written: case %s lacks %s", k.ID, strings.Join(k.Lacks, "; ")), "record these steps first", nil)
	case s.Step == records.CaseReleased:
		for _, l := range r.afterwards(s).Lacks {
			if strings.HasPrefix(l, "a release") {
				return unreadable("not written: the case would still lack "+l, "who adjusted does not release; the evidence is a check that passed after the last adjustment", nil)
			}
		}
	}
	for _, id := range s.Jobs {
		if !slices.Contains(k.Jobs, id) {
			r.told = append(r.told, fmt.Sprintf("job %s is not among those that the case found in doubt", id))
		}
	}
	r.told = append(r.told, caseWords(r.afterwards(s)))
	return nil
}

// afterwards is the case as it would be with a step recorded.
func (r *recording) afterwards(s *records.CaseStep) *rules.Case {
	trial := *s
	trial.File = records.NextFree(records.StepPath(s, r.set.Site.Zone), r.repo.Exists)
	set := *r.set
	set.Cases = maps.Clone(r.set.Cases)
	set.Cases[s.Case] = append(slices.Clone(r.set.Cases[s.Case]), &trial)
	return (&recording{set: &set, now: r.now}).caseOf(s.Case)
}

// caseWords says in a line how a case stands.
func caseWords(k *rules.Case) string {
	switch {
	case !k.Open && len(k.Lacks) > 0:
		return fmt.Sprintf("case %s is closed, and lacks %s", k.ID, strings.Join(k.Lacks, "; "))
	case !k.Open:
		return fmt.Sprintf("case %s is closed", k.ID)
	case len(k.Lacks) > 0:
		return fmt.Sprintf("case %s lacks %s", k.ID, strings.Join(k.Lacks, "; "))
	}
	return fmt.Sprintf("case %s: nothing is left but to close it", k.ID)
}
