package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/interval"
)

// shareJSON is what interval prints as JSON for a share of outcomes in tolerance. A figure that does not exist is null, and
// null_reasons says why under its name.
type shareJSON struct {
	Passed            int               `json:"passed"`
	Of                int               `json:"of"`
	Observed          float64           `json:"observed"`
	Level             float64           `json:"level"`
	Lower             float64           `json:"lower"`
	Upper             float64           `json:"upper"`
	LowerOneSided     float64           `json:"lower_one_sided"`
	UpperOneSided     float64           `json:"upper_one_sided"`
	Target            float64           `json:"target"`
	PSoFew            float64           `json:"p_so_few"`
	PSoMany           float64           `json:"p_so_many"`
	Direction         string            `json:"direction"`
	Months            *float64          `json:"months"`
	ProposedMonths    *float64          `json:"proposed_months"`
	RatePerMonth      *float64          `json:"rate_per_month"`
	TargetMonths      *float64          `json:"target_months"`
	TargetMonthsLower *float64          `json:"target_months_lower"`
	TargetMonthsUpper *float64          `json:"target_months_upper"`
	TargetMonthsShown *float64          `json:"target_months_shown"`
	Reasons           []string          `json:"reasons"`
	NullReasons       map[string]string `json:"null_reasons"`
}

// mostModelled is how many outcomes the exact limits of the model take.
const mostModelled = 5000

func (o *intervalOptions) printShare(e *env, cmd *cobra.Command) error {
	switch {
	case !o.passed.given() || !o.of.given():
		return misused("one of --passed and --of, expected both", "give the number in tolerance and the number of all outcomes, for example --passed 18 --of 20")
	case o.passed.value > o.of.value:
		return misused(fmt.Sprintf("--passed %d of --of %d, expected no more in tolerance than there are", o.passed.value, o.of.value), "")
	}
	s, err := o.shareOf()
	if err != nil {
		return err
	}
	return e.print(formatOf(cmd), s.answer())
}

func (o *intervalOptions) shareOf() (shareJSON, error) {
	passed, of, level, target := o.passed.value, o.of.value, o.level.value, o.target.value
	share, err := interval.ClopperPearson(passed, of, level)
	if err != nil {
		return shareJSON{}, err
	}
	test, err := interval.CompareWithTarget(passed, of, target, 1-level)
	if err != nil {
		return shareJSON{}, err
	}
	s := shareJSON{
		Passed: passed, Of: of, Observed: share.Estimate, Level: level, Lower: share.Lower, Upper: share.Upper,
		LowerOneSided: share.OneSidedLower, UpperOneSided: share.OneSidedUpper, Target: target, PSoFew: test.AtMost, PSoMany: test.AtLeast,
		Direction: string(test.Direction), Reasons: []string{}, NullReasons: map[string]string{},
	}
	if o.months.given() {
		s.Months = &o.months.value
	} else {
		s.none("no current interval was given with --months", "months")
	}
	if of > mostModelled {
		s.none(fmt.Sprintf("the limits of the model are reckoned for at most %d outcomes", mostModelled), "proposed_months", "rate_per_month",
			"target_months", "target_months_lower", "target_months_upper", "target_months_shown")
		return s, nil
	}
	return s, s.propose(o)
}

// none says why figures do not exist.
func (s *shareJSON) none(why string, names ...string) {
	for _, name := range names {
		s.NullReasons[name] = why
	}
}

// propose reviews the share as outcomes at one length of interval.
func (s *shareJSON) propose(o *intervalOptions) error {
	months := 1.0 // any: what is said of it is left out
	if s.Months != nil {
		months = *s.Months
	}
	outcomes := make([]interval.Outcome, s.Of)
	for i := range outcomes {
		outcomes[i] = interval.Outcome{Months: months, InTolerance: i < s.Passed}
	}
	proposal, err := o.plan().Device("", months, outcomes)
	if err != nil {
		return err
	}
	if s.Months == nil {
		s.Reasons = proposal.Reasons
		if proposal.Direction != interval.Keep {
			s.Reasons = proposal.Reasons[:1] // the others are about how far
		}
		s.none("no current interval was given with --months", "proposed_months", "rate_per_month", "target_months", "target_months_lower",
			"target_months_upper", "target_months_shown")
		return nil
	}
	p := proposed{Proposal: proposal}
	s.Reasons, s.Direction, s.ProposedMonths = proposal.Reasons, string(proposal.Direction), proposal.ProposedMonths
	if s.ProposedMonths == nil {
		s.none(p.whyNone(), "proposed_months")
	}
	for _, f := range []struct {
		json string
		name interval.EvidenceName
		into **float64
	}{
		{"rate_per_month", interval.RatePerMonth, &s.RatePerMonth},
		{"target_months", interval.TargetMonths, &s.TargetMonths},
		{"target_months_lower", interval.TargetMonthsLower, &s.TargetMonthsLower},
		{"target_months_upper", interval.TargetMonthsUpper, &s.TargetMonthsUpper},
		{"target_months_shown", interval.TargetMonthsShown, &s.TargetMonthsShown},
	} {
		for _, e := range proposal.Evidence {
			if e.Name != f.name {
				continue
			}
			*f.into = e.Value
			if e.Value == nil {
				s.none(e.Reason, f.json)
			}
		}
	}
	return nil
}

func (s shareJSON) answer() answer {
	a := answer{JSON: s, CSV: s.csv(), Table: s.table(), Below: append(append([]string{}, s.Reasons...), onlyProposal)}
	a.Above = []string{s.headline()}
	return a
}

func (s shareJSON) headline() string {
	if s.Months == nil {
		return s.Direction + " the interval"
	}
	current := monthsWords(*s.Months)
	switch {
	case s.Direction == string(interval.Keep):
		return "keep the interval of " + current
	case s.ProposedMonths == nil:
		return fmt.Sprintf("%s the interval of %s", s.Direction, current)
	}
	return fmt.Sprintf("%s the interval from %s to %s", s.Direction, current, monthsDown(*s.ProposedMonths, *s.Months))
}

func (s shareJSON) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "figure"}, {Title: "value", Align: table.Decimal}, {Title: "unit"}, {Title: "from", Wrap: true},
	}}
	level := percent(s.Level)
	add := func(name string, value float64, text, unit, from string) {
		t.Add(table.Text(name), table.Number(text, value), table.Text(unit), table.Text(from))
	}
	share := func(name string, value float64, from string) { add(name, value, show.Probability(value), "", from) }
	share("share in tolerance", s.Observed, fmt.Sprintf("%d of %d", s.Passed, s.Of))
	share("lower limit", s.Lower, "Clopper-Pearson, two-sided, "+level)
	share("upper limit", s.Upper, "Clopper-Pearson, two-sided, "+level)
	share("lower limit, one-sided", s.LowerOneSided, level)
	share("upper limit, one-sided", s.UpperOneSided, level)
	share("target", s.Target, "to be in tolerance at the end")
	share("p of so few", s.PSoFew, "if the target held exactly")
	share("p of so many", s.PSoMany, "if the target held exactly")
	if s.Months == nil {
		return t
	}
	for _, f := range []struct {
		name, json, unit, from string
		value                  *float64
	}{
		{"rate", "rate_per_month", "1/month", "exponential model", s.RatePerMonth},
		{"target met at", "target_months", "months", "exponential model", s.TargetMonths},
		{"lower limit", "target_months_lower", "months", "two-sided, " + level, s.TargetMonthsLower},
		{"upper limit", "target_months_upper", "months", "two-sided, " + level, s.TargetMonthsUpper},
		{"shown for", "target_months_shown", "months", "one-sided, " + level, s.TargetMonthsShown},
	} {
		if f.value == nil {
			t.Add(table.Text(f.name), table.None(), table.Text(""), table.Text(s.NullReasons[f.json]))
			continue
		}
		add(f.name, *f.value, fourDigits(*f.value), f.unit, f.from)
	}
	return t
}

// csv has the same names as the JSON.
func (s shareJSON) csv() table.Table {
	t := table.Table{}
	var row []table.Cell
	add := func(name string, cell table.Cell) {
		t.Columns = append(t.Columns, table.Column{Title: name})
		row = append(row, cell)
	}
	add("passed", table.Count(s.Passed))
	add("of", table.Count(s.Of))
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"observed", s.Observed},
		{"level", s.Level},
		{"lower", s.Lower},
		{"upper", s.Upper},
		{"lower one sided", s.LowerOneSided},
		{"upper one sided", s.UpperOneSided},
		{"target", s.Target},
		{"p so few", s.PSoFew},
		{"p so many", s.PSoMany},
	} {
		add(f.name, table.Number("", f.value))
	}
	add("direction", table.Text(s.Direction))
	for _, f := range []struct {
		name  string
		value *float64
	}{
		{"months", s.Months},
		{"proposed months", s.ProposedMonths},
		{"rate per month", s.RatePerMonth},
		{"target months", s.TargetMonths},
		{"target months lower", s.TargetMonthsLower},
		{"target months upper", s.TargetMonthsUpper},
		{"target months shown", s.TargetMonthsShown},
	} {
		add(f.name, numberOrNone(f.value))
	}
	t.Add(row...)
	return t
}
