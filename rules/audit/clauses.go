package audit

import "slices"

// Answers answers every clause of the catalogue, in its order, from the input and
// the [Findings] of the same input.
func Answers(in Input, findings []Finding) []Answer {
	f := newFinder(in)
	asked := slices.Concat(equipmentClauses(), laboratoryClauses(), confirmationClauses(), qualityClauses())
	out := make([]Answer, len(asked))
	for i, q := range asked {
		out[i] = f.answer(&q, findings)
	}
	return out
}

// asked is a clause with what answers it.
type asked struct {
	Clause

	shown []func(*finder) []Evidence
	// own is what records cannot show and the laboratory shows itself.
	own string
	// only is set where the clause asks about something that need not occur: without it
	// and without a gap the clause does not apply.
	only bool
}

// answer puts together what the records show to a clause and what they lack.
func (f *finder) answer(q *asked, findings []Finding) Answer {
	a := Answer{Clause: q.Clause, Own: q.own}
	for _, show := range q.shown {
		a.Evidence = append(a.Evidence, show(f)...)
	}
	for i := range findings {
		if slices.Contains(findings[i].Clauses, q.String()) {
			a.Gaps = append(a.Gaps, findings[i])
		}
	}
	switch {
	case len(a.Evidence) == 0 && len(a.Gaps) == 0 && q.only:
		a.State = NotApplicable
	case len(a.Evidence) == 0:
		a.State = Gap
	case len(a.Gaps) > 0 || q.own != "":
		a.State = Partly
	default:
		a.State = Answered
	}
	if a.State == Gap && len(a.Gaps) == 0 && a.Own == "" {
		a.Own = "no record of the period shows it; the laboratory shows it otherwise, or has not kept it"
	}
	return a
}
