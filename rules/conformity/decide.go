package conformity

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// TieUM is how far, in micrometres, an error may lie beyond a limit and still count as on it. Comparisons are unrounded,
// and a value on a limit is inside; but an error is a difference of two readings in millimetres, whose double precision
// leaves about 1e-10 µm at 1 m (800.065 − 800 is 0.065 plus 5e-14), and equality would be decided by that noise. Ten
// femtometres cover such differences up to some 30 m and are far below anything a length can mean.
const TieUM = 1e-8

// Decide applies the case's rule. The error, if any, is an [*InputError]; the decision is then empty.
//
// Values on a limit count as inside (JCGM 106:2012 has closed acceptance intervals; from memory), see [TieUM].
func Decide(c Case) (Decision, error) {
	if err := c.check(); err != nil {
		return Decision{}, err
	}
	d := Decision{Rule: c.Rule, ErrorUM: c.ErrorUM, MPEUM: c.MPEUM}
	if c.Uncertainty == nil {
		reason := "no uncertainty of the test value was given"
		d.ExpandedUM, d.Ratio, d.ConformanceProbability = figure.Absent(reason), figure.Absent(reason), figure.Absent(reason)
		d.Notes = append(d.Notes, Note{NoteNoUncertainty, reason + "; the risk of a wrong verdict is unknown"})
	} else {
		d.ExpandedUM = figure.Known(c.Uncertainty.ExpandedUM)
		d.Ratio = ratio(c.MPEUM, c.Uncertainty.ExpandedUM)
		d.ConformanceProbability = figure.Known(c.probability())
	}
	switch c.Rule {
	case Simple:
		d.simple()
	case ISO14253:
		d.iso14253(c)
	case GuardU:
		d.guardU()
	case FourValued:
		d.fourValued()
	}
	return d, nil
}

func ratio(mpeUM, expandedUM float64) Figure {
	if expandedUM == 0 {
		return figure.Absent("the expanded uncertainty is 0")
	}
	r := mpeUM / expandedUM
	if math.IsInf(r, 0) {
		return figure.Absent("the expanded uncertainty is too small to divide by")
	}
	return figure.Known(r)
}

// probability returns the conformance probability of a checked case with an uncertainty.
func (c Case) probability() float64 {
	size, u := math.Abs(c.ErrorUM), c.Uncertainty.ExpandedUM/c.Uncertainty.Factor
	if u == 0 {
		// Without a spread the probability is the comparison itself, and must not contradict it on the limit.
		if within(size, c.MPEUM) {
			return 1
		}
		return 0
	}
	lower := -c.MPEUM
	if c.OneSided {
		lower = math.Inf(-1)
	}
	// A checked case has finite inputs and ordered limits: there is no error to come.
	p, _ := Probability(size, u, lower, c.MPEUM)
	return p
}

// within reports whether a size is at or below a limit, ties counting as below.
func within(sizeUM, limitUM float64) bool { return sizeUM <= limitUM+TieUM }

func (d *Decision) simple() {
	d.AcceptanceLimitUM, d.RejectionLimitUM = figure.Known(d.MPEUM), figure.Known(d.MPEUM)
	d.Verdict = Fail
	if within(math.Abs(d.ErrorUM), d.MPEUM) {
		d.Verdict = Pass
	}
}

func (d *Decision) guardU() {
	d.AcceptanceLimitUM = d.guarded()
	d.RejectionLimitUM = d.AcceptanceLimitUM
	d.Verdict = Fail
	if d.accepts() {
		d.Verdict = Pass
	}
}

func (d *Decision) fourValued() {
	upper := d.MPEUM + *d.ExpandedUM.Value
	d.AcceptanceLimitUM, d.RejectionLimitUM = d.guarded(), figure.Known(upper)
	size := math.Abs(d.ErrorUM)
	switch {
	case d.accepts():
		d.Verdict = Pass
	case within(size, d.MPEUM):
		d.Verdict = ConditionalPass
	case within(size, upper):
		d.Verdict = ConditionalFail
	default:
		d.Verdict = Fail
	}
}

// guarded returns MPE − U, or why it is no limit.
func (d *Decision) guarded() Figure {
	limit := d.MPEUM - *d.ExpandedUM.Value
	if limit < -TieUM {
		return d.cannotPass(fmt.Sprintf("the expanded uncertainty %g µm is larger than the MPE %g µm", *d.ExpandedUM.Value, d.MPEUM))
	}
	return figure.Known(math.Max(limit, 0))
}

func (d *Decision) cannotPass(why string) Figure {
	d.Notes = append(d.Notes, Note{NoteCannotPass, why + ": no error can pass, not even 0"})
	return figure.Absent(why)
}

func (d *Decision) accepts() bool {
	limit := d.AcceptanceLimitUM.Value
	return limit != nil && within(math.Abs(d.ErrorUM), *limit)
}
