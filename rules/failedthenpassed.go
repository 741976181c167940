package rules

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// failedThenPassed remarks on features whose last check passed although an
// earlier one by the same procedure failed and nothing was adjusted, repaired
// or calibrated in between. A failed check is repeated once, and both are kept
// (common practice, no source): a later pass alone explains nothing, and the
// jobs between the last good evidence and the pass stay in doubt.
func (d *deviceContext) failedThenPassed() {
	for i := range d.out.Evidence {
		e := &d.out.Evidence[i]
		if e.Certified != nil || failed(e.Verdict()) {
			continue
		}
		j, passed := d.earlierFailure(e)
		if j == nil {
			continue
		}
		x := evidenceOf(j)
		d.add("failed-then-passed", fmt.Sprintf("%s failed on %s (error %s, limit %s, %s) and passed on %s, with nothing adjusted or calibrated in between",
			x.label(), d.day(x.Time), um(x.Decision.ErrorUM), um(x.Decision.MPEUM), x.From, d.day(passed.Time)),
			[]records.Quantity{x.Quantity}, x.Source, Source{File: passed.File})
		d.doubtfulJobs(failureOf(&x), passed.Time, x.Source)
	}
}

// earlierFailure returns the latest failure of the feature by the procedure
// that passed evidence of it lies after, and the check that first passed after
// it; nil when there is none since the last restart and calibration.
func (d *deviceContext) earlierFailure(e *Evidence) (*Judgement, *records.Check) {
	passed := e.Judgement.Check
	since := d.calibrationOf(e.Limit)
	for _, k := range slices.Backward(d.view.checks) {
		if k.Procedure != e.From || !k.Time.Before(passed.Time) {
			continue
		}
		if d.restartedAfter(k) || since != nil && !d.day(k.Time).After(since.cert.Date) {
			return nil, nil
		}
		j, judged := d.worstOf(k, e)
		switch {
		case j != nil:
			return j, passed
		case judged:
			passed = k
		}
	}
	return nil, nil
}

// restartedAfter reports whether the device was adjusted or repaired after a
// check.
func (d *deviceContext) restartedAfter(k *records.Check) bool {
	for i := range d.out.Service.restarts {
		if !d.after(k, &d.out.Service.restarts[i]) {
			return true
		}
	}
	return false
}

// worstOf returns the gravest failed judgement of a feature in a check, and
// whether the feature was measured in it at all. Under every rule but that with
// a guard band of U an error inside the MPE does not fail, which spares most
// checks the whole judgement.
func (d *deviceContext) worstOf(k *records.Check, e *Evidence) (worst *Judgement, measured bool) {
	b := d.basis(k)
	if b.why.code != "" {
		return nil, false
	}
	var scratch []float64
	for i := range k.Readings {
		if k.Readings[i].Feature != e.Feature {
			continue
		}
		p, why := d.prepare(&b, &k.Readings[i])
		if why.code != "" || p.limit != e.Limit {
			continue
		}
		measured = true
		mpe, _, err := p.limitUM()
		if err != nil {
			continue
		}
		if scratch, err = p.errorsOf(scratch[:0]); err != nil {
			continue
		}
		if e.Decision.Rule != conformity.GuardU && largest(scratch) <= mpe {
			continue
		}
		j, why := d.judge(&b, &k.Readings[i])
		if why.code == "" && failed(j.Decision.Verdict) && (worst == nil || graver(j.Decision, worst.Decision)) {
			worst = j
		}
	}
	return worst, measured
}

func largest(errorsUM []float64) float64 {
	size := 0.0
	for _, e := range errorsUM {
		size = math.Max(size, math.Abs(e))
	}
	return size
}
