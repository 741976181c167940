package rules

import (
	"errors"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/budget"
	"plumbrule/rules/conformity"
)

// Judgement is the verdict on one reading of a check: every value of it was
// judged, and the worst is shown.
type Judgement struct {
	Check   *records.Check
	Reading *records.Reading
	Feature *records.Feature
	Limit   *records.Limit

	Quantity      records.Quantity
	Certificate   *records.Certificate
	ReferenceMM   float64 // certified value at 20 °C
	ShiftUM       float64 // by which the temperature correction moved the reference
	Length        quantity.Length
	LengthIsPath  bool
	ErrorsUM      []float64 // of each value
	MPEUM         float64
	Components    []budget.Component
	Uncertainty   budget.Result
	Decision      conformity.Decision // on the worst value
	ValueIndex    int                 // of the worst value
	RuleFrom      string              // who chose the rule: file
	CertifiedLine int
}

// judge decides on one reading, or says what speaks against it.
func (d *deviceContext) judge(b *basis, reading *records.Reading) (*Judgement, objection) {
	j, why := d.prepare(b, reading)
	if why.code != "" {
		return nil, why
	}
	out, err := d.decide(&j)
	if err != nil {
		return nil, objection{code: "rule-refused", check: b.check, reading: reading, err: err}
	}
	return out, objection{}
}

// errNoValues says that a reading has nothing to judge.
var errNoValues = errors.New("the reading has no values")

func (d *deviceContext) decide(j *judging) (*Judgement, error) {
	if len(j.reading.Values) == 0 {
		return nil, errNoValues
	}
	out := &Judgement{
		Check: j.check, Reading: j.reading, Feature: j.feature, Limit: j.limit, Quantity: j.quantity,
		Certificate: j.in.cert, ReferenceMM: j.referenceMM, CertifiedLine: j.certified.Line, LengthIsPath: j.limit.CountsPath(),
	}
	var err error
	if out.ErrorsUM, err = j.errorsOf(nil); err != nil {
		return nil, err
	}
	out.ShiftUM = j.shiftUM
	if out.MPEUM, out.Length, err = j.limitUM(); err != nil {
		return nil, err
	}
	if out.Components, err = j.components(); err != nil {
		return nil, err
	}
	if out.Uncertainty, err = budget.Combine(out.Components, budget.Coverage{}); err != nil {
		return nil, err
	}
	rule := d.rule(j.procedure)
	out.RuleFrom = rule.from
	for i, e := range out.ErrorsUM {
		decision, err := conformity.Decide(conformity.Case{
			ErrorUM: e, MPEUM: out.MPEUM, Rule: rule.name, OneSided: j.quantity.OneSided(),
			Uncertainty: &conformity.Uncertainty{ExpandedUM: out.Uncertainty.ExpandedUM, Factor: out.Uncertainty.CoverageFactor},
		})
		if err != nil {
			return nil, err
		}
		if i == 0 || graver(decision, out.Decision) {
			out.Decision, out.ValueIndex = decision, i
		}
	}
	return out, nil
}

// chosenRule is a decision rule and the record that chose it.
type chosenRule struct {
	name conformity.Rule
	from string
}

// rule returns the decision rule: the procedure's, the site's, or simple
// acceptance when neither names one.
func (c *context) rule(p *records.Procedure) chosenRule {
	if p.DecisionRule != "" {
		return chosenRule{conformity.Rule(p.DecisionRule), p.File}
	}
	if c.set.Site.Decision.Rule != "" {
		return chosenRule{conformity.Rule(c.set.Site.Decision.Rule), c.set.Site.File}
	}
	return chosenRule{conformity.Simple, ""}
}
