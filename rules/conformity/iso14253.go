package conformity

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// iso14253 decides by the conformance probability. The limits are where that probability is exactly 0.95 and 0.05, not
// the rounded guard factor: the factor holds only while the far limit is out of reach (10 ± nothing at u = 6 lies inside
// MPE − 1.65 u, and conforms with 0.9044 only).
func (d *Decision) iso14253(c Case) {
	u, size := c.Uncertainty.ExpandedUM/c.Uncertainty.Factor, math.Abs(c.ErrorUM)
	d.AcceptanceLimitUM = d.provedInsideLimit(u, c.OneSided)
	d.RejectionLimitUM = d.provedOutsideLimit(u, c.OneSided)
	p := *d.ConformanceProbability.Value

	d.Verdict = Inconclusive
	switch {
	case d.accepts():
		d.Verdict = Pass
	case within(size, d.MPEUM):
		// An error inside the MPE is never proved outside. Only a u of some sixteen times the MPE or more gets here
		// with a probability under 0.05, because it spreads so wide that little is left inside.
		if p <= provedOutside {
			d.Notes = append(d.Notes, Note{NoteUninformative, fmt.Sprintf("the standard uncertainty %g µm is so large against the MPE %g µm that "+
				"the probability of conformance is small for every error; this measurement proves nothing", u, d.MPEUM)})
		}
	case d.rejects(size, p):
		d.Verdict = Fail
	}

	byFactor := within(size, d.MPEUM-publishedFactor*u)
	if byFactor != (d.Verdict == Pass) {
		d.Notes = append(d.Notes, Note{NoteFactorDisagrees, fmt.Sprintf("a guard band of 1.65 u would decide otherwise; "+
			"the conformance probability, %.4f, counts", p)})
	}
}

// rejects reports whether the probability is at most 0.05, with a tie at the limit decided as the limit says.
func (d *Decision) rejects(sizeUM, p float64) bool {
	limit := d.RejectionLimitUM.Value
	return p <= provedOutside || (limit != nil && sizeUM >= *limit-TieUM)
}

func (d *Decision) provedInsideLimit(u float64, oneSided bool) Figure {
	if u == 0 {
		return figure.Known(d.MPEUM)
	}
	if oneSided {
		limit := d.MPEUM - oneSidedFactor*u
		if limit < -TieUM {
			return d.cannotPass(fmt.Sprintf("the MPE is %.4g times the standard uncertainty, and below 1.6449 no error of 0 or more reaches "+
				"a conformance probability of 0.95", d.MPEUM/u))
		}
		return figure.Known(math.Max(limit, 0))
	}
	width := 2 * d.MPEUM / u
	factor, ok := acceptanceFactor(width)
	if !ok {
		return d.cannotPass(fmt.Sprintf("the limits are %.4g standard uncertainties apart, and below 3.92 no error reaches "+
			"a conformance probability of 0.95", width))
	}
	return figure.Known(math.Max(d.MPEUM-float64(factor*u), 0))
}

func (d *Decision) provedOutsideLimit(u float64, oneSided bool) Figure {
	if u == 0 {
		return figure.Known(d.MPEUM)
	}
	if oneSided {
		return figure.Known(d.MPEUM + float64(oneSidedFactor*u))
	}
	factor, ok := rejectionFactor(2 * d.MPEUM / u)
	if !ok {
		return figure.Absent(fmt.Sprintf("the standard uncertainty is %.4g times the MPE, and the conformance probability at most 0.05 on the MPE already", u/d.MPEUM))
	}
	return figure.Known(d.MPEUM + float64(factor*u))
}
