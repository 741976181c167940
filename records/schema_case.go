package records

import (
	"time"

	"plumbrule/records/calendar"
)

func caseKeys() *keys[CaseStep] {
	return newKeys(
		need(ident("case", "the case it belongs to", func(s *CaseStep) *string { return &s.Case })),
		need(word("step", "what was done", StepKindNames(), func(s *CaseStep) *StepKind { return &s.Step })),
		need(instant("time", "when it was done", func(s *CaseStep) *time.Time { return &s.Time })),
		need(instant("entered", "when this record was written", func(s *CaseStep) *time.Time { return &s.Entered })),
		need(text("by", "who did or decided it", func(s *CaseStep) *string { return &s.By })),
		ident("subject", "opened: device or artifact found wrong", func(s *CaseStep) *string { return &s.Subject }),
		text("finding", "opened: path of the check, certificate or event that shows it", func(s *CaseStep) *string { return &s.Finding }),
		words("quantities", "opened: what is wrong; every quantity if not given", quantityNames(), func(s *CaseStep) *[]Quantity { return &s.Quantities }),
		text("owner", "opened, handover: who sees to the case", func(s *CaseStep) *string { return &s.Owner }),
		word("outcome", "verified, effectiveness: what came of it", stepOutcomes(), func(s *CaseStep) *Outcome { return &s.Outcome }),
		text("evidence", "verified, as-found, correction, release: path of the check, certificate or event it rests on; as-found: or \"none\"", func(s *CaseStep) *string { return &s.Evidence }),
		date("since", "window: first day whose results are in doubt", func(s *CaseStep) *calendar.Date { return &s.Since }),
		date("until", "window: last such day; it lasts if not given", func(s *CaseStep) *calendar.Date { return &s.Until }),
		texts("jobs", "list of ids", "window, effect, decision, notice: the jobs it is about", func(s *CaseStep) *[]string { return &s.Jobs }),
		word("decision", "decision: what becomes of the jobs", JobDecisions(), func(s *CaseStep) *JobDecision { return &s.Decision }),
		text("customer", "notice: the customer's reference", func(s *CaseStep) *string { return &s.Customer }),
		text("reason", "why, or what was found", func(s *CaseStep) *string { return &s.Reason }),
		text("amends", "path of the step's record this one corrects", func(s *CaseStep) *string { return &s.Amends }),
		text("note", "anything else", func(s *CaseStep) *string { return &s.Note }),
	)
}

func stepOutcomes() []Outcome { return []Outcome{Confirmed, NotConfirmed, Effective, NotEffective} }
