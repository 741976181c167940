package interval

import (
	"fmt"

	"plumbrule/rules/figure"
)

// judge compares the outcomes at about the current interval with the target and fills in the proposal.
func (p Plan) judge(proposal *Proposal, here, all fitted) error {
	share, err := ClopperPearson(here.InTolerance, here.Trials, p.Confidence)
	if err != nil {
		return err
	}
	test, err := CompareWithTarget(here.InTolerance, here.Trials, p.Target, 1-p.Confidence)
	if err != nil {
		return err
	}
	for _, e := range []Evidence{
		{InToleranceCount, "", figure.Known(float64(here.InTolerance))},
		{ObservedShare, "", figure.Known(share.Estimate)},
		{ShareLower, "", figure.Known(share.Lower)},
		{ShareUpper, "", figure.Known(share.Upper)},
		{SoFewByChance, "", figure.Known(test.AtMost)},
		{SoManyByChance, "", figure.Known(test.AtLeast)},
		{RatePerMonth, "1/month", all.RatePerMonth},
		{TargetMonths, "months", all.Months},
		{TargetMonthsLower, "months", all.LowerMonths},
		{TargetMonthsUpper, "months", all.UpperMonths},
		{TargetMonthsShown, "months", all.OneSidedLowerMonths},
	} {
		proposal.rest(e.Name, e.Unit, e.Figure)
	}
	switch test.Direction {
	case Shorten:
		proposal.Confidence = figure.Known(1 - test.AtMost)
		p.shorten(proposal, here, all)
	case Lengthen:
		proposal.Confidence = figure.Known(1 - test.AtLeast)
		p.lengthen(proposal, here, all)
	default:
		proposal.because(fmt.Sprintf("%d of %d in tolerance: this differs from the target of %s by no more than chance.", here.InTolerance, here.Trials, percent(p.Target)))
		proposal.propose(p.Bounds, proposal.CurrentMonths)
	}
	return p.admit(proposal, share, test)
}

func (p Plan) shorten(proposal *Proposal, here, all fitted) {
	proposal.because(fmt.Sprintf("%d of %d in tolerance: the target of %s is missed by more than chance.", here.InTolerance, here.Trials, percent(p.Target)))
	if here.Months.Value == nil {
		proposal.Direction = Shorten
		proposal.because("None was in tolerance, so the model cannot say how short is short enough; look for the cause first.")
		return
	}
	// The outcomes at other intervals may make the model milder; what was seen at this one stands.
	months := *here.Months.Value
	if all.Months.Value != nil {
		months = min(months, *all.Months.Value)
	}
	proposal.because(fmt.Sprintf("By the exponential model the target is met at %s months.", plain(months)))
	proposal.propose(p.Bounds, months)
}

func (p Plan) lengthen(proposal *Proposal, here, all fitted) {
	proposal.because(fmt.Sprintf("%d of %d in tolerance: the target of %s is exceeded by more than chance.", here.InTolerance, here.Trials, percent(p.Target)))
	// Some outcome is in tolerance, so the lower limit exists.
	months := *all.OneSidedLowerMonths.Value
	if months <= proposal.CurrentMonths*slack {
		proposal.because(fmt.Sprintf("Together with the outcomes at other intervals the exponential model supports %s months only, so the interval stays; find out why the intervals differ.", plain(months)))
		proposal.Confidence = figure.Absent("the test and the model disagree")
		proposal.propose(p.Bounds, proposal.CurrentMonths)
		return
	}
	proposal.because(fmt.Sprintf("By the exponential model the target is met for %s months with %s confidence.", plain(months), percent(p.Confidence)))
	proposal.propose(p.Bounds, months)
	if *proposal.ProposedMonths > all.longest*slack {
		proposal.because(fmt.Sprintf("No outcome is from an interval longer than %s months: beyond that the constant rate of the model is a supposition.", plain(all.longest)))
	}
}

// admit says how little the counts can show.
func (p Plan) admit(proposal *Proposal, share Proportion, test Comparison) error {
	if test.Direction != Keep {
		return nil
	}
	n := test.Trials
	proposal.because(fmt.Sprintf("The share in tolerance lies between %s and %s with %s confidence.", plain(share.Lower), plain(share.Upper), percent(p.Confidence)))
	needed, err := OutcomesToLengthen(p.Target, p.Confidence)
	if err != nil {
		return err
	}
	failures, possible := failuresToShorten(n, p.Target, test.Significance)
	switch {
	case n >= needed:
	case !possible:
		proposal.because(fmt.Sprintf("With %s nothing can be shown, neither a share above the target of %s nor one below it.", counted(n), percent(p.Target)))
	case test.InTolerance == n:
		proposal.because(fmt.Sprintf("With %s nothing can be shown, although all were in tolerance: that takes %d without a failure.", counted(n), needed))
	default:
		proposal.because(fmt.Sprintf("With %s a share above the target cannot be shown: that takes %d without a failure. A share below it is shown by %d or more failures.", counted(n), needed, failures))
	}
	return nil
}

func counted(n int) string {
	if n == 1 {
		return "1 outcome"
	}
	return fmt.Sprintf("%d outcomes", n)
}
