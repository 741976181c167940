package main

import (
	"fmt"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/interval"
)

// outcomesJSON is what interval prints as JSON for outcomes in a file. A figure that does not exist is null, and
// null_reasons says why under its name.
type outcomesJSON struct {
	Outcomes          int                `json:"outcomes"`
	InTolerance       int                `json:"in_tolerance"`
	Level             float64            `json:"level"`
	Target            float64            `json:"target"`
	Months            *float64           `json:"months"`
	Groups            []outcomeGroupJSON `json:"groups"`
	RatePerMonth      *float64           `json:"rate_per_month"`
	RateStandardError *float64           `json:"rate_standard_error"`
	TargetMonths      *float64           `json:"target_months"`
	TargetMonthsLower *float64           `json:"target_months_lower"`
	TargetMonthsUpper *float64           `json:"target_months_upper"`
	TargetMonthsShown *float64           `json:"target_months_shown"`
	Lengthen          float64            `json:"lengthen"`
	Shorten           float64            `json:"shorten"`
	Within            float64            `json:"within"`
	Staircase         []staircaseRunJSON `json:"staircase"`
	Proposals         []proposalJSON     `json:"proposals"`
	NullReasons       map[string]string  `json:"null_reasons"`
}

type outcomeGroupJSON struct {
	Months      float64 `json:"months"`
	Outcomes    int     `json:"outcomes"`
	InTolerance int     `json:"in_tolerance"`
	Observed    float64 `json:"observed"`
	Lower       float64 `json:"lower"`
	Upper       float64 `json:"upper"`
}

type staircaseRunJSON struct {
	Subject string              `json:"subject"`
	Steps   []staircaseStepJSON `json:"steps"`
}

type staircaseStepJSON struct {
	Months      float64  `json:"months"` // the interval before
	Ratio       *float64 `json:"ratio"`
	InTolerance bool     `json:"in_tolerance"`
	NextMonths  *float64 `json:"next_months"`
	Direction   string   `json:"direction"`
	Reasons     []string `json:"reasons"`
}

func (l *listed) json() outcomesJSON {
	out := outcomesJSON{
		Outcomes: l.fit.Trials, InTolerance: l.fit.InTolerance, Level: l.o.level.value, Target: l.o.target.value, Groups: []outcomeGroupJSON{},
		Lengthen: l.o.lengthen.value, Shorten: l.o.shorten.value, Within: l.o.within.value,
		Staircase: []staircaseRunJSON{}, Proposals: []proposalJSON{}, NullReasons: map[string]string{},
	}
	if l.o.months.given() {
		out.Months = &l.o.months.value
	} else {
		out.NullReasons["months"] = noMonths
	}
	for i, g := range l.fit.Groups {
		s := l.shares[i]
		out.Groups = append(out.Groups, outcomeGroupJSON{g.Months, g.Trials, g.InTolerance, s.Estimate, s.Lower, s.Upper})
	}
	for _, f := range []struct {
		name string
		into **float64
		from interval.Figure
	}{
		{"rate_per_month", &out.RatePerMonth, l.fit.RatePerMonth},
		{"rate_standard_error", &out.RateStandardError, l.fit.StandardError},
		{"target_months", &out.TargetMonths, l.target.Months},
		{"target_months_lower", &out.TargetMonthsLower, l.target.LowerMonths},
		{"target_months_upper", &out.TargetMonthsUpper, l.target.UpperMonths},
		{"target_months_shown", &out.TargetMonthsShown, l.target.OneSidedLowerMonths},
	} {
		*f.into = f.from.Value
		if f.from.Value == nil {
			out.NullReasons[f.name] = f.from.Reason
		}
	}
	for _, r := range l.runs {
		run := staircaseRunJSON{Subject: r.subject, Steps: []staircaseStepJSON{}}
		for i, p := range r.steps {
			run.Steps = append(run.Steps, staircaseStepJSON{p.CurrentMonths, r.outcomes[i].Ratio, r.outcomes[i].InTolerance, p.ProposedMonths, string(p.Direction), notNull(p.Reasons)})
		}
		out.Staircase = append(out.Staircase, run)
	}
	if len(l.runs) == 0 {
		out.NullReasons["staircase"] = noRatios
	}
	for _, p := range l.reviews {
		out.Proposals = append(out.Proposals, p.json())
	}
	return out
}

const (
	noMonths = "no current interval was given with --months"
	noRatios = "the file has no column ratio (|error|/MPE), which the staircase asks for"
)

func (l *listed) answer() answer {
	t := table.Table{Columns: []table.Column{
		{Title: "months", Align: table.Decimal},
		{Title: "outcomes", Align: table.Right},
		{Title: "in tolerance", Align: table.Right},
		{Title: "share", Align: table.Decimal},
		{Title: "from", Align: table.Decimal},
		{Title: "to", Align: table.Decimal},
	}}
	for i, g := range l.fit.Groups {
		s := l.shares[i]
		t.Add(table.Number(show.Shortest(g.Months), g.Months), table.Count(g.Trials), table.Count(g.InTolerance), table.Number(show.Probability(s.Estimate), s.Estimate),
			table.Number(show.Probability(s.Lower), s.Lower), table.Number(show.Probability(s.Upper), s.Upper))
	}
	p := &page{}
	l.model(p)
	l.stairs(p)
	p.head("Proposals")
	for _, r := range l.reviews {
		p.proposal(r)
	}
	if !l.o.months.given() {
		p.item("%s: none, %s", interval.MethodReliability, noMonths)
	}
	if len(l.runs) == 0 {
		p.item("%s: none, %s", interval.MethodStaircase, noRatios)
	}
	p.item("%s", onlyProposal)
	above := fmt.Sprintf("%s: %d of %s in tolerance; limits of shares with %s confidence (Clopper-Pearson)", l.file, l.fit.InTolerance,
		counted(l.fit.Trials, "outcome"), percent(l.o.level.value))
	return answer{JSON: l.json(), CSV: l.csv(), Above: []string{above}, Table: t, Page: p}
}

// csv lists the figures below each other, with the names of the JSON; those of a proposal carry its subject and method.
func (l *listed) csv() table.Table {
	t := table.Table{}
	for _, name := range []string{"figure", "subject", "method", "value", "direction"} {
		t.Columns = append(t.Columns, table.Column{Title: name})
	}
	add := func(name string, value *float64) {
		t.Add(table.Text(name), table.Text(""), table.Text(""), numberOrNone(value), table.Text(""))
	}
	outcomes, in := float64(l.fit.Trials), float64(l.fit.InTolerance)
	add("outcomes", &outcomes)
	add("in_tolerance", &in)
	add("rate_per_month", l.fit.RatePerMonth.Value)
	add("rate_standard_error", l.fit.StandardError.Value)
	add("target_months", l.target.Months.Value)
	add("target_months_lower", l.target.LowerMonths.Value)
	add("target_months_upper", l.target.UpperMonths.Value)
	add("target_months_shown", l.target.OneSidedLowerMonths.Value)
	for _, p := range l.reviews {
		t.Add(table.Text("proposed_months"), table.Text(p.Subject), table.Text(string(p.Method)), numberOrNone(p.ProposedMonths), table.Text(string(p.Direction)))
	}
	return t
}

// model tells the fit.
func (l *listed) model(p *page) {
	p.head("Exponential model R(t) = e^(-λt)")
	figure := func(name, unit string, f interval.Figure) {
		if f.Value == nil {
			p.item("%s: none, %s", name, f.Reason)
			return
		}
		p.item("%s: %s %s", name, fourDigits(*f.Value), unit)
	}
	figure("rate λ", "per month", l.fit.RatePerMonth)
	figure("its standard error", "per month", l.fit.StandardError)
	figure(fmt.Sprintf("target of %s met at", percent(l.o.target.value)), "months", l.target.Months)
	level := percent(l.o.level.value)
	figure("lower limit, two-sided "+level, "months", l.target.LowerMonths)
	figure("upper limit, two-sided "+level, "months", l.target.UpperMonths)
	figure("shown for, one-sided "+level, "months", l.target.OneSidedLowerMonths)
}

// stairs tells the run of the staircase.
func (l *listed) stairs(p *page) {
	if len(l.runs) == 0 {
		return
	}
	p.head("Staircase, %s within %s of the MPE, %s out of tolerance", factor(l.o.lengthen.value), percent(l.o.within.value), factor(l.o.shorten.value))
	for _, r := range l.runs {
		depth := 1
		if r.subject != "" {
			p.item("%s", r.subject)
			depth = 2
		}
		for _, s := range r.steps {
			p.add(depth, "%s to %s months: %s", fourDigits(s.CurrentMonths), fourDigits(*s.ProposedMonths), s.Reasons[0])
		}
	}
}

// proposal tells a proposal with all its reasons.
func (p *page) proposal(r proposed) {
	subject := r.Subject
	if subject != "" {
		subject += ", "
	}
	text := fmt.Sprintf("%s%s: %s", subject, r.Method, r.Direction)
	switch {
	case r.Direction == interval.Keep:
		text += " " + r.currentWords()
	case r.ProposedMonths != nil:
		text += fmt.Sprintf(" from %s to %s", r.currentWords(), r.proposedWords())
	}
	p.item("%s", text)
	for _, reason := range r.Reasons {
		p.sub("%s", reason)
	}
}
