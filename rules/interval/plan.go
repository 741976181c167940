package interval

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// Plan reviews intervals by observed reliability: the share of calibrations that find the device in tolerance.
//
// An interval is changed only if the outcomes at about its length differ from the target by more than chance
// ([CompareWithTarget]). It is shortened to where the exponential model meets the target, and lengthened to where the model
// meets it with the confidence asked for, that is to the one-sided lower limit: a longer interval has to be shown, not
// guessed, and with every outcome in tolerance there is nothing else. (The asymmetry is common sense, no source.)
//
// Source: ILAC-G24:2022 / OIML D 10:2022, clause 6, other statistical approaches (from memory).
type Plan struct {
	Target     float64 // share to be in tolerance at the end of the interval, for example 0.95
	Confidence float64 // one-sided, of every change; also two-sided of the limits in the evidence; 0.5 or more, for example 0.95
	// SameWithin is how far, as a share, an interval may differ from the current one for its outcome to count as one at the
	// current interval, 0 to 0.5. 0.1 is a convention without source.
	SameWithin float64
	Bounds     Bounds
}

// Device reviews the interval of one device by its own outcomes; those of other subjects are not looked at.
// An [*InputError] names what cannot be used.
func (p Plan) Device(subject string, currentMonths float64, outcomes []Outcome) (Proposal, error) {
	var own []Outcome
	for _, o := range outcomes {
		if o.Subject == subject {
			own = append(own, o)
		}
	}
	return p.review(subject, currentMonths, own)
}

// Kind reviews the common interval of a kind of device by the outcomes of all of them together, which supposes that they are
// alike. A device with more failures than chance explains is named in the reasons. An [*InputError] names what cannot be
// used.
func (p Plan) Kind(kind string, currentMonths float64, outcomes []Outcome) (Proposal, error) {
	proposal, err := p.review(kind, currentMonths, outcomes)
	if err != nil {
		return Proposal{}, err
	}
	for _, s := range outstanding(outcomes, 1-p.Confidence) {
		proposal.because(s)
	}
	return proposal, nil
}

func (p Plan) check(currentMonths float64, outcomes []Outcome) error {
	if err := checkMonths("current_months", currentMonths); err != nil {
		return err
	}
	if err := checkSide("confidence", p.Confidence); err != nil {
		return err
	}
	if _, err := OutcomesToLengthen(p.Target, p.Confidence); err != nil {
		return err
	}
	if !(p.SameWithin >= 0 && p.SameWithin <= 0.5) {
		return &InputError{Field: "same_within", Found: fmt.Sprintf("%g", p.SameWithin), Expected: "a share from 0 to 0.5"}
	}
	if len(outcomes) > mostFitted {
		return &InputError{Field: "outcomes", Found: fmt.Sprint(len(outcomes)), Expected: fmt.Sprintf("at most %d", mostFitted)}
	}
	for i, o := range outcomes {
		if err := o.check(); err != nil {
			return fmt.Errorf("outcomes[%d]: %w", i, err)
		}
	}
	return p.Bounds.check()
}

func (p Plan) review(subject string, currentMonths float64, outcomes []Outcome) (Proposal, error) {
	if err := p.check(currentMonths, outcomes); err != nil {
		return Proposal{}, err
	}
	proposal := Proposal{
		Method: MethodReliability, Subject: subject, CurrentMonths: currentMonths, Direction: None,
		Confidence: figure.Absent("nothing is shown"),
	}
	var near []Outcome
	devices := map[string]bool{}
	for _, o := range outcomes {
		if math.Abs(o.Months-currentMonths) <= p.SameWithin*currentMonths*slack {
			near = append(near, o)
			devices[o.Subject] = true
		}
	}
	proposal.rest(OutcomesCounted, "", figure.Known(float64(len(near))))
	proposal.rest(OutcomesElsewhere, "", figure.Known(float64(len(outcomes)-len(near))))
	proposal.rest(Devices, "", figure.Known(float64(len(devices))))
	if len(near) == 0 {
		proposal.because(fmt.Sprintf("No outcome at about %s months: nothing can be shown.", plain(currentMonths)))
		return proposal, nil
	}
	here, err := p.look(near)
	if err != nil {
		return Proposal{}, err
	}
	all, err := p.look(outcomes)
	if err != nil {
		return Proposal{}, err
	}
	if err := p.judge(&proposal, here, all); err != nil {
		return Proposal{}, err
	}
	return proposal, nil
}

// fitted is a set of outcomes with the interval that meets the target.
type fitted struct {
	Fit
	TargetInterval
	longest float64 // interval among the outcomes
}

func (p Plan) look(outcomes []Outcome) (fitted, error) {
	groups := Groups(outcomes)
	fit, err := FitExponential(groups)
	if err != nil {
		return fitted{}, err
	}
	target, err := fit.IntervalFor(p.Target, p.Confidence)
	return fitted{fit, target, groups[len(groups)-1].Months}, err
}
