package records

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"plumbrule/records/calendar"
	"plumbrule/records/spelling"
)

// stepRules lists the keys of each kind of step, beside those every step has.
func stepRules() map[StepKind]eventRule {
	return map[StepKind]eventRule{
		CaseOpened:    {needs: []string{"subject", "owner", "reason"}, may: []string{"finding", "quantities"}},
		CaseVerified:  {needs: []string{"outcome", "reason"}, may: []string{"evidence"}},
		CaseAsFound:   {needs: []string{"evidence"}, may: []string{"reason"}},
		CaseWindow:    {needs: []string{"since"}, may: []string{"until", "jobs", "reason"}},
		CaseEffect:    {needs: []string{"reason"}, may: []string{"jobs"}},
		CaseDecision:  {needs: []string{"jobs", "decision", "reason"}},
		CaseNotice:    {needs: []string{"jobs", "customer"}, may: []string{"reason"}},
		CaseCause:     {needs: []string{"reason"}},
		CaseCorrected: {needs: []string{"reason"}, may: []string{"evidence"}},
		CaseReleased:  {needs: []string{"evidence"}, may: []string{"reason"}},
		CaseClosed:    {needs: []string{"reason"}},
		CaseReopened:  {needs: []string{"reason"}},
		CaseChecked:   {needs: []string{"outcome", "reason"}, may: []string{"evidence"}},
		CaseHandover:  {needs: []string{"owner"}, may: []string{"reason"}},
	}
}

// StepKeys returns the keys that a kind of step needs beside those every step
// has, and those it may have.
func StepKeys(kind StepKind) (needs, may []string) {
	rule := stepRules()[kind]
	return rule.needs, rule.may
}

// StepOutcomes returns what may come of a kind of step; nothing for most.
func StepOutcomes(kind StepKind) []Outcome {
	switch kind {
	case CaseVerified:
		return []Outcome{Confirmed, NotConfirmed}
	case CaseChecked:
		return []Outcome{Effective, NotEffective}
	default:
		return nil
	}
}

// stated lists the keys a step has that not every kind of step may have.
func (s *CaseStep) stated() []string {
	var out []string
	for _, k := range []struct {
		name string
		has  bool
	}{
		{"subject", s.Subject != ""},
		{"finding", s.Finding != ""},
		{"quantities", len(s.Quantities) > 0},
		{"owner", s.Owner != ""},
		{"outcome", s.Outcome != ""},
		{"evidence", s.Evidence != ""},
		{"since", !s.Since.IsZero()},
		{"until", !s.Until.IsZero()},
		{"jobs", len(s.Jobs) > 0},
		{"decision", s.Decision != ""},
		{"customer", s.Customer != ""},
		{"reason", s.Reason != ""},
	} {
		if k.has {
			out = append(out, k.name)
		}
	}
	return out
}

func (c *checker) checkStep(s *CaseStep) {
	file := s.File
	if zone := c.zone(); zone != nil {
		c.name(file, StepPath(s, zone))
		day := calendar.Of(s.Time, zone)
		c.order(file, "since", s.Since, "time", day, top("since"))
	}
	c.order(file, "since", s.Since, "until", s.Until, top("until"))
	c.times(file, s.Time, s.Entered)
	c.ownKeys(file, "a step", string(s.Step), top("step"), stepRules()[s.Step], s.stated(), s.Amends != "", c.load.schema.step.example)
	if s.Outcome != "" && !slices.Contains(StepOutcomes(s.Step), s.Outcome) {
		c.fault("unknown-word", file, top("outcome"), fmt.Sprintf("a step %s has no outcome %q", s.Step, s.Outcome), "write one of "+listWords(StepOutcomes(s.Step)))
	}
	c.amends(file, s.Amends, s.Reason, s.Entered, func(r any) bool {
		o, ok := r.(*CaseStep)
		return ok && o.Case == s.Case && o.Step == s.Step
	})
	if s.Subject != "" {
		c.subject(s.Subject, file)
	}
	if s.Finding != "" {
		c.finding(s)
	}
	if s.Evidence != "" && (s.Evidence != NoAsFound || s.Step != CaseAsFound) {
		name, r := c.record(s.Evidence, file, top("evidence"))
		switch r.(type) {
		case nil, *Check, *Certificate, *Event:
		default:
			c.fault("amends-other", file, top("evidence"), name+" is no check, certificate or event", "name the record the step rests on")
		}
	}
	for i, id := range s.Jobs {
		c.job(id, file, top("jobs").value(i))
		if slices.Contains(s.Jobs[:i], id) {
			c.fault("duplicate-feature", file, top("jobs").value(i), fmt.Sprintf("job %s is listed twice", id), "")
		}
	}
	c.opened(s)
}

// finding checks that what shows something wrong is about it.
func (c *checker) finding(s *CaseStep) {
	name, r := c.record(s.Finding, s.File, top("finding"))
	about := false
	switch o := r.(type) {
	case nil:
		return
	case *Check:
		about = o.Device == s.Subject || o.Artifact == s.Subject
	case *Certificate:
		about = o.Subject == s.Subject
	case *Event:
		about = o.Subject == s.Subject
	}
	if !about {
		c.fault("amends-other", s.File, top("finding"), fmt.Sprintf("%s is no check, certificate or event of %s", name, s.Subject), "name the record that shows what was found")
	}
}

// job reports a job without a file, unless the jobs could not be listed.
func (c *checker) job(id, file string, at spot) {
	c.seen.folder("jobs")
	if c.jobs == nil {
		c.jobs = map[string]bool{}
		for _, name := range c.load.files {
			if p, _ := placeOf(name); p.kind == "job" {
				c.jobs[p.subject] = true
			}
		}
	}
	if c.jobs[id] || slices.ContainsFunc(c.load.lost, func(folder string) bool { return folder == "jobs" || strings.HasPrefix(folder, "jobs/") }) {
		return
	}
	mend := ""
	if near := spelling.Nearest(id, sortedKeys(c.jobs)); near != "" {
		mend = fmt.Sprintf("did you mean %s?", near)
	}
	c.fault("unknown-job", file, at, fmt.Sprintf("there is no job %q", id), mend)
}

// opened checks that one step, and one only, opens the case.
func (c *checker) opened(s *CaseStep) {
	folder := "cases/" + s.Case
	c.seen.folder(folder)
	found := false
	for _, name := range c.openings(folder) {
		found = true
		c.seen.path(name)
		r, _ := c.load.understood(name)
		o, ok := r.(*CaseStep)
		if !ok || c.bad[name] || name == s.File || s.Step != CaseOpened || o.Step != CaseOpened || o.Amends != "" || s.Amends != "" {
			continue
		}
		c.fault("case-opened-twice", s.File, top("step"), fmt.Sprintf("case %s is opened by another record as well", s.Case), "", c.place(name, top("step"), "the other one"))
	}
	if !found && !c.load.mayBeLost(folder+"/x") {
		c.fault("case-not-opened", s.File, top("case"), fmt.Sprintf("nothing opens case %q", s.Case), "")
	}
}

// openings lists the files that by their names open a case.
func (c *checker) openings(folder string) []string {
	i, _ := slices.BinarySearch(c.load.files, folder+"/")
	var out []string
	for ; i < len(c.load.files) && strings.HasPrefix(c.load.files[i], folder+"/"); i++ {
		if head, _ := numbered(c.load.files[i]); strings.HasSuffix(path.Base(head), "-"+string(CaseOpened)) {
			out = append(out, c.load.files[i])
		}
	}
	return out
}
