package rules

import (
	"errors"
	"slices"

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
	Components    []budget.Component // of the worst value's uncertainty
	Uncertainty   budget.Result      // of the worst value
	Decision      conformity.Decision
	ValueIndex    int    // of the worst value
	RuleFrom      string // who chose the rule: file
	CertifiedLine int

	Test       *conformity.ProfileDoc // as which the procedure judges the feature; nil: none named
	Parameters []Parameter            // in force for readings from scans
	Remarks    []string               // what else to know of the reading
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
		Test: j.test.profile, Parameters: j.test.parameters, Remarks: j.remarks(),
	}
	var err error
	if out.ErrorsUM, err = j.errorsOf(nil); err != nil {
		return nil, err
	}
	out.ShiftUM = j.shiftUM
	if out.MPEUM, out.Length, err = j.limitUM(); err != nil {
		return nil, err
	}
	common, err := j.components()
	if err != nil {
		return nil, err
	}
	rule := d.rule(j.procedure)
	out.RuleFrom = rule.from
	var parts []budget.Component
	var uncertainty budget.Result
	for i, e := range out.ErrorsUM {
		fit, fitted := j.fitComponent(i)
		if i == 0 || fitted {
			parts = common
			if fitted {
				parts = append(slices.Clip(common), fit)
			}
			if uncertainty, err = budget.Combine(parts, budget.Coverage{}); err != nil {
				return nil, err
			}
		}
		decision, err := conformity.Decide(conformity.Case{
			ErrorUM: e, MPEUM: out.MPEUM, Rule: rule.name, OneSided: j.quantity.OneSided(),
			Uncertainty: &conformity.Uncertainty{ExpandedUM: uncertainty.ExpandedUM, Factor: uncertainty.CoverageFactor},
		})
		if err != nil {
			return nil, err
		}
		if i == 0 || graver(decision, out.Decision) {
			out.Decision, out.ValueIndex, out.Components, out.Uncertainty = decision, i, parts, uncertainty
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
