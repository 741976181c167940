package records

import (
	"time"

	"plumbrule/records/calendar"
)

// StepKind is what one step of a case is.
type StepKind string

// The steps of a case, in the order in which they are as a rule taken (common
// practice, no source; ISO/IEC 17025:2017, 7.10 asks what they are about).
const (
	CaseOpened    StepKind = "opened"        // something was found wrong
	CaseVerified  StepKind = "verified"      // the finding was looked at again, with nothing adjusted
	CaseAsFound   StepKind = "as-found"      // how it measured before it was touched
	CaseWindow    StepKind = "window"        // from when to when results are in doubt, and which jobs lie in it
	CaseEffect    StepKind = "effect"        // what the error meant for them
	CaseDecision  StepKind = "decision"      // what becomes of jobs
	CaseNotice    StepKind = "notice"        // a customer was told
	CaseCause     StepKind = "cause"         // why it went wrong
	CaseCorrected StepKind = "correction"    // what was done about it
	CaseReleased  StepKind = "release"       // it may be used again
	CaseClosed    StepKind = "closed"        // nothing is left to do
	CaseReopened  StepKind = "reopened"      // something is, after all
	CaseChecked   StepKind = "effectiveness" // whether what was done has helped, looked at later
	CaseHandover  StepKind = "handover"      // somebody else sees to it from now on
)

// StepKindNames lists the kinds of steps in their usual order.
func StepKindNames() []StepKind {
	return []StepKind{
		CaseOpened, CaseVerified, CaseAsFound, CaseWindow, CaseEffect, CaseDecision, CaseNotice, CaseCause, CaseCorrected,
		CaseReleased, CaseClosed, CaseReopened, CaseChecked, CaseHandover,
	}
}

// JobDecision is what becomes of a job that was measured while something was
// wrong.
type JobDecision string

// The decisions about a job.
const (
	NoEffect  JobDecision = "no effect"
	Remeasure JobDecision = "re-measure"
	Inform    JobDecision = "inform"
	Recall    JobDecision = "recall"
)

// JobDecisions lists the decisions about a job, from harmless to gravest.
func JobDecisions() []JobDecision { return []JobDecision{NoEffect, Remeasure, Inform, Recall} }

// Outcomes of a step that looks whether something is so.
const (
	Confirmed    Outcome = "confirmed"
	NotConfirmed Outcome = "not confirmed"
	Effective    Outcome = "effective"
	NotEffective Outcome = "not effective"
)

// CaseStep is one step of a case, which is what is done about a device, an
// artifact or a certificate found wrong: cases/<case>/<date>T<hhmm>-<step>.toml.
// Each step is a file of its own, so that nothing recorded is rewritten and two
// people's steps never meet in one file. The first one opens the case.
type CaseStep struct {
	ID, File string

	Case    string
	Step    StepKind
	Time    time.Time // when it was done
	Entered time.Time
	By      string
	Reason  string
	Note    string
	Amends  string

	Subject    string        // opened: device or artifact found wrong
	Finding    string        // opened: check, certificate or event that shows it; empty: none does
	Quantities []Quantity    // opened: what is wrong; empty: every one
	Owner      string        // opened, handover: who sees to it
	Outcome    Outcome       // verified, effectiveness
	Evidence   string        // verified, as found, correction, release: the record it rests on, or "none"
	Since      calendar.Date // window
	Until      calendar.Date // window; zero: it lasts
	Jobs       []string      // window, effect, decision, notice: ids
	Decision   JobDecision   // decision
	Customer   string        // notice: the customer's reference, as in the jobs
}
