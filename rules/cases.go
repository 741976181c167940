package rules

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"plumbrule/records"
)

// Case is what is done about something found wrong, as far as it was known at
// the instant.
type Case struct {
	ID         string
	Opened     *records.CaseStep
	Steps      []*records.CaseStep // in the order of time, corrected ones left out
	Owner      string              // who sees to it
	Open       bool
	Quantities []records.Quantity // that it is about; empty: every one
	// Jobs are those it is about: listed by a step, or measured while what it is
	// about was in doubt; sorted. Decisions are the last on each that has one and
	// was decided with what is known now.
	Jobs      []string
	Decisions map[string]*records.CaseStep
	// Lacks says what is left to do before it can be closed, in the order of the
	// steps; empty: nothing.
	Lacks []string
	// Since and Until are the first and last instant of the windows it is about;
	// zero: from the beginning, not known, or it lasts.
	Since, Until time.Time
	// Found is when what it is about first showed; when it was opened, where no
	// record shows it.
	Found     time.Time
	Adjusters []string // who adjusted or repaired what it is about since then
}

// Undecided lists the jobs on which nothing was decided.
func (c *Case) Undecided() []string {
	var out []string
	for _, id := range c.Jobs {
		if c.Decisions[id] == nil {
			out = append(out, id)
		}
	}
	return out
}

// covers reports whether the case is about a quantity.
func (c *Case) covers(q records.Quantity) bool {
	return len(c.Quantities) == 0 || slices.Contains(c.Quantities, q)
}

// answers reports whether the case is about what was found of a quantity at an
// instant: it is open, or was closed since.
func (c *Case) answers(q records.Quantity, found time.Time) bool {
	return c.covers(q) && (c.Open || !c.ended().Before(found))
}

// ended is when the case was last closed; zero where it never was.
func (c *Case) ended() time.Time {
	if k := c.last(records.CaseClosed); k != nil {
		return k.Time
	}
	return time.Time{}
}

// last returns the last step of a kind, or nil.
func (c *Case) last(kind records.StepKind) *records.CaseStep {
	for _, s := range slices.Backward(c.Steps) {
		if s.Step == kind {
			return s
		}
	}
	return nil
}

// prepareCases finds the steps of cases that were known, by what they are about.
func (c *context) prepareCases() {
	for _, id := range sortedKeys(c.set.Cases) {
		list := c.set.Cases[id]
		steps, _ := inView(list, &c.later,
			func(s *records.CaseStep) bool { return c.known(s.Time, s.Entered) },
			func(s *records.CaseStep) (string, string) { return s.File, s.Amends })
		for _, s := range steps {
			if s.Step == records.CaseOpened {
				c.cases[s.Subject] = append(c.cases[s.Subject], steps)
				break
			}
		}
	}
}

// casesOf puts together the cases about a device or an artifact, by id.
func (c *context) casesOf(subject string) []Case {
	var out []Case
	for _, steps := range c.cases[subject] {
		k := caseOf(steps)
		for _, u := range c.broken["case "+k.ID] {
			k.Lacks = append(k.Lacks, u.File+" mended, which cannot be used")
		}
		out = append(out, k)
	}
	return out
}

// caseOf follows the steps of one case.
func caseOf(steps []*records.CaseStep) Case {
	out := Case{ID: steps[0].Case, Steps: steps, Open: true, Decisions: map[string]*records.CaseStep{}}
	for _, s := range steps {
		switch s.Step {
		case records.CaseOpened:
			out.Opened, out.Owner, out.Quantities, out.Found = s, s.Owner, s.Quantities, s.Time
		case records.CaseHandover:
			out.Owner = s.Owner
		case records.CaseClosed:
			out.Open = false
		case records.CaseReopened:
			out.Open = true
		case records.CaseDecision:
			for _, id := range s.Jobs {
				out.Decisions[id] = s
			}
		default:
		}
		out.Jobs = append(out.Jobs, s.Jobs...)
	}
	out.Jobs = distinct(out.Jobs)
	return out
}

// lacks fills in what is left to do, as common practice has it: the finding
// looked at again, the window and its jobs, a decision on each, the cause, what
// was done, and a release by somebody who did not adjust the device (no source;
// ISO/IEC 17025:2017, 7.10.1 asks for the decisions and the authority to
// resume). A finding that was not confirmed needs no more than that; one retired
// needs no release. unproven says what keeps a release from resting on good
// evidence.
func (c *Case) lacks(retired bool, unproven func(release *records.CaseStep) string) {
	again := c.last(records.CaseReopened)
	switch v := c.last(records.CaseVerified); {
	case v == nil:
		c.Lacks = append(c.Lacks, "the finding verified")
	case v.Outcome != records.NotConfirmed:
	case again == nil || v.Time.After(again.Time):
		return
	default:
		c.Lacks = append(c.Lacks, "the finding verified again")
	}
	if c.last(records.CaseWindow) == nil {
		c.Lacks = append(c.Lacks, "the window")
	}
	if left := c.Undecided(); len(left) > 0 {
		c.Lacks = append(c.Lacks, "a decision on "+strings.Join(left, ", "))
	}
	if why := c.untold(); why != "" {
		c.Lacks = append(c.Lacks, why)
	}
	if c.last(records.CaseCause) == nil {
		c.Lacks = append(c.Lacks, "the cause")
	}
	if retired {
		return
	}
	if c.last(records.CaseCorrected) == nil {
		c.Lacks = append(c.Lacks, "the correction")
	}
	switch r := c.last(records.CaseReleased); {
	case r == nil:
		c.Lacks = append(c.Lacks, "the release")
	case slices.Contains(c.Adjusters, r.By):
		c.Lacks = append(c.Lacks, fmt.Sprintf("a release by somebody else than %s, who adjusted it", r.By))
	case unproven(r) != "":
		c.Lacks = append(c.Lacks, "a release with proof: "+unproven(r))
	}
}

// untold names the jobs whose customers are to be told, by the decision, and of
// which no notice is recorded since.
func (c *Case) untold() string {
	var out []string
	for _, id := range c.Jobs {
		s := c.Decisions[id]
		if s == nil || s.Decision != records.Inform && s.Decision != records.Recall {
			continue
		}
		if !slices.ContainsFunc(c.Steps, func(n *records.CaseStep) bool { return n.Step == records.CaseNotice && slices.Contains(n.Jobs, id) }) {
			out = append(out, id)
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "the notice about " + strings.Join(out, ", ")
}

// adjusters finds who adjusted or repaired something since it was found wrong,
// by its events and by the case itself.
func (c *Case) adjusters(events []*records.Event) {
	var out []string
	for _, e := range events {
		if (e.Kind == records.Adjustment || e.Kind == records.Repair) && !e.Time.Before(c.Found) {
			out = append(out, e.By)
		}
	}
	for _, s := range c.Steps {
		if s.Step == records.CaseCorrected {
			out = append(out, s.By)
		}
	}
	c.Adjusters = distinct(out)
}
