package rules

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// Evidence is the last verdict on one feature by one procedure, or on one
// point of the last calibration for a limit, since the device was last
// adjusted. The gravest for a limit decides.
type Evidence struct {
	From     string // procedure id, or "calibration"
	Feature  string // of the artifact; for a calibration the length
	Quantity records.Quantity
	Limit    *records.Limit
	Time     time.Time // when measured; for a calibration the start of its day
	Decision conformity.Decision
	Source   Source
	// Judgement shows how a check's verdict came about; nil for a calibration,
	// whose error is the laboratory's.
	Judgement *Judgement
	Certified *records.CertifiedError
}

// Verdict is the verdict of the evidence.
func (e *Evidence) Verdict() conformity.Verdict { return e.Decision.Verdict }

// evidenceKey tells apart what is looked for in the history of checks.
type evidenceKey struct{ procedure, artifact, feature string }

// measured is the last check that gave a verdict on one feature.
type measured struct {
	procedure, feature string
	check              *records.Check
}

// evidence finds what presently speaks for or against each limit, and says
// what cannot be evidence. It goes back through the checks once and stops for
// each feature at the last verdict; a feature left out of a later check keeps
// its verdict, so that leaving it out never makes a failure disappear.
func (d *deviceContext) evidence() {
	found := map[evidenceKey]*records.Check{}
	last := map[string]*records.Check{} // by procedure
	var b basis
	for _, k := range slices.Backward(d.view.checks) {
		if last[k.Procedure] == nil {
			last[k.Procedure] = k
			d.object(k)
		}
		for r := range k.Readings {
			key := evidenceKey{k.Procedure, k.Artifact, k.Readings[r].Feature}
			if f := found[key]; f != nil && f != k && !f.Time.Equal(k.Time) {
				continue
			}
			if b.check != k {
				b = d.basis(k)
			}
			if j, why := d.judge(&b, &k.Readings[r]); why.code == "" {
				found[key] = k
				d.take(j)
			}
		}
	}
	d.lastCalibration()
	d.sortEvidence()
}

// take makes a judgement evidence, unless a restart lies between, or a later
// check by the same procedure judged the same feature by the same limit with
// another artifact. The gravest of several readings in one check counts, and the gravest
// of several checks of one instant: nothing says which of them came last.
func (d *deviceContext) take(j *Judgement) {
	k := j.Check
	d.note(k, j.Feature.Name)
	for i := range d.out.Service.restarts {
		if !d.after(k, &d.out.Service.restarts[i]) {
			d.before[j.Limit] = true
			return
		}
	}
	for i := range d.out.Evidence {
		e := &d.out.Evidence[i]
		if e.From != k.Procedure || e.Feature != j.Feature.Name || e.Limit != j.Limit {
			continue
		}
		if e.Judgement.Check.Time.Equal(k.Time) && graver(j.Decision, e.Decision) {
			*e = evidenceOf(j)
		}
		return
	}
	d.out.Evidence = append(d.out.Evidence, evidenceOf(j))
}

// note remembers the last check that gave a verdict on a feature, whatever the
// artifact and whether or not the device was adjusted since.
func (d *deviceContext) note(k *records.Check, feature string) {
	for i := range d.measured {
		if d.measured[i].procedure == k.Procedure && d.measured[i].feature == feature {
			return
		}
	}
	d.measured = append(d.measured, measured{k.Procedure, feature, k})
}

func evidenceOf(j *Judgement) Evidence {
	return Evidence{
		From: j.Check.Procedure, Feature: j.Feature.Name, Quantity: j.Quantity, Limit: j.Limit, Time: j.Check.Time,
		Decision: j.Decision, Source: Source{j.Check.File, j.Reading.Line}, Judgement: j,
	}
}

// sortEvidence puts the evidence in the order of the device's limits, the
// latest first.
func (d *deviceContext) sortEvidence() {
	slices.SortStableFunc(d.out.Evidence, func(a, b Evidence) int {
		return cmp.Or(
			cmp.Compare(a.Limit.Line, b.Limit.Line), b.Time.Compare(a.Time),
			cmp.Compare(a.From, b.From), cmp.Compare(a.Source.File, b.Source.File), cmp.Compare(a.Source.Line, b.Source.Line),
		)
	})
}

// object reports, once for each cause, why the last check of a procedure is no
// evidence. For a check the device does not require that is a remark: nothing
// rests on it, and a limit without other evidence is reported as unproven.
func (d *deviceContext) object(k *records.Check) {
	for i := range d.out.Service.restarts {
		if !d.after(k, &d.out.Service.restarts[i]) {
			return // it would say nothing about the device as it is
		}
	}
	type cause struct {
		code, sentence string
		quantities     []records.Quantity
		sources        []Source
	}
	var causes []cause
	b := d.basis(k)
	for i := range k.Readings {
		_, why := d.judge(&b, &k.Readings[i])
		if why.code == "" {
			continue
		}
		sentence, sources := d.words(why)
		at := slices.IndexFunc(causes, func(c cause) bool { return c.sentence == sentence })
		if at < 0 {
			at = len(causes)
			causes = append(causes, cause{code: why.code, sentence: sentence, sources: sources})
		}
		if q := d.quantityOf(&b, k.Readings[i].Feature); q != "" && !slices.Contains(causes[at].quantities, q) {
			causes[at].quantities = append(causes[at].quantities, q)
		}
	}
	for _, c := range causes {
		if c.code != "record-unreadable" && !d.required(k.Procedure) {
			c.code = "not-evidence"
		}
		d.add(c.code, fmt.Sprintf("check %s of %s is no evidence: %s", k.Procedure, d.day(k.Time), c.sentence), c.quantities, c.sources...)
	}
}

// quantityOf returns the quantity a check judges a feature for; empty when it
// cannot be told.
func (d *deviceContext) quantityOf(b *basis, feature string) records.Quantity {
	if b.procedure == nil || b.artifact == nil {
		return ""
	}
	f := b.artifact.record.Feature(feature)
	if f == nil {
		return ""
	}
	return records.JudgedQuantity(b.procedure, f)
}
