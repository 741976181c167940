package rules

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules/budget"
)

// basis is what all readings of a check are judged with, or the objection
// that keeps every one of them from being evidence.
type basis struct {
	check     *records.Check
	procedure *records.Procedure
	artifact  *artifact
	in        *accepted
	why       objection
}

// basis finds what a check is judged with.
func (d *deviceContext) basis(k *records.Check) basis {
	b := basis{check: k, procedure: d.set.Procedures[k.Procedure], artifact: d.artifacts[k.Artifact]}
	switch {
	case b.procedure == nil:
		b.why = objection{code: "record-unreadable", check: k, missing: "procedure"}
	case b.artifact == nil:
		b.why = objection{code: "record-unreadable", check: k, missing: "artifact"}
	default:
		b.in, b.why = d.rely(b.artifact, k)
	}
	if d.supposed != nil {
		d.supposed.judge(&b)
	}
	return b
}

// subject is what a procedure judges one feature of an artifact by, with one
// certificate: the same for every check it is in force for.
type subject struct {
	feature     *records.Feature
	certified   *records.CertifiedValue
	quantity    records.Quantity
	limit       *records.Limit
	referenceMM float64
	alpha       float64   // expansion of the artifact per kelvin, between the feature's ends
	test        tested    // what the procedure asks of the reading
	why         objection // without check and reading
}

// subjectKey tells subjects apart.
type subjectKey struct {
	procedure *records.Procedure
	in        *accepted
	feature   string
}

// subject finds what a reading is judged by, each once.
func (d *deviceContext) subject(b *basis, feature string) *subject {
	key := subjectKey{b.procedure, b.in, feature}
	s, found := d.subjects[key]
	if !found {
		s = d.newSubject(b, feature)
		d.subjects[key] = s
	}
	return s
}

func (d *deviceContext) newSubject(b *basis, feature string) *subject {
	s := &subject{feature: b.artifact.record.Feature(feature), certified: b.in.cert.Value(feature)}
	if s.feature != nil {
		s.quantity = records.JudgedQuantity(b.procedure, s.feature)
	}
	if s.feature == nil || s.certified == nil {
		s.why = objection{code: "feature-uncovered", in: b.in}
		return s
	}
	if !b.in.covers(s.feature.Quantity) {
		s.why = objection{code: "feature-uncovered", in: b.in, outside: s.feature.Quantity}
		return s
	}
	if s.quantity.OneSided() != s.feature.Quantity.OneSided() {
		s.why = objection{code: "feature-uncovered", in: b.in, judged: s.quantity, outside: s.feature.Quantity}
		return s
	}
	s.test = testedBy(b.procedure, s.feature, s.quantity)
	if s.test.contradiction != "" {
		s.why = objection{code: "test-unmet", unmet: s.test.contradiction}
		return s
	}
	s.limit = d.record.LimitFor(s.quantity, s.feature.Nominal.Millimetres())
	if s.limit == nil {
		s.why = objection{code: "rule-refused", err: fmt.Errorf("the device has no limit for %s at %s", s.quantity, s.feature.Nominal)}
	}
	expansion, _ := b.artifact.record.ExpansionOf(s.feature)
	s.referenceMM, s.alpha = s.certified.Value.Millimetres(), expansion.PerKelvin()
	return s
}

// judging is one reading with all it is judged with.
type judging struct {
	*basis
	*subject
	reading     *records.Reading
	alphaDevice float64
	celsius     float64
	shiftUM     float64
}

// prepare finds what a reading is judged with, or the objection to it.
func (d *deviceContext) prepare(b *basis, reading *records.Reading) (judging, objection) {
	if b.why.code != "" {
		return judging{}, b.why
	}
	j := judging{basis: b, subject: d.subject(b, reading.Feature), reading: reading, celsius: budget.ReferenceCelsius}
	if why := j.subject.why; why.code != "" {
		why.check, why.reading = b.check, reading
		return j, why
	}
	if d.record.Scale.Material {
		j.alphaDevice = d.record.Scale.Expansion.PerKelvin()
	}
	if b.check.Conditions.Stated {
		j.celsius = b.check.Conditions.ArtifactTemperature.Celsius()
	}
	if unmet := j.unmet(); unmet != "" {
		return j, objection{code: "test-unmet", unmet: unmet, check: b.check, reading: reading}
	}
	return j, objection{}
}

// errorsOf forms the errors of indication of a reading in micrometres,
// E = y − r₂₀·(1 + (α − α_d)(T − 20 °C)), into list.
func (j *judging) errorsOf(list []float64) ([]float64, error) {
	if !j.quantity.OneSided() && !j.check.Compensated {
		shift, err := budget.ThermalShiftUM(j.referenceMM, j.alpha, j.alphaDevice, j.celsius)
		if err != nil {
			return list, err
		}
		j.shiftUM = shift
	}
	unit := j.check.UnitMM()
	for _, v := range j.reading.Values {
		if j.quantity.OneSided() {
			list = append(list, float64(v*unit)*1000) // a form error is indicated as such; its reference is zero
			continue
		}
		list = append(list, float64((float64(v*unit)-j.referenceMM)*1000)-j.shiftUM)
	}
	return list, nil
}

// limitUM returns the limit for the reading, and the length it was counted at.
func (j *judging) limitUM() (um float64, length quantity.Length, err error) {
	length = j.feature.Nominal
	if j.limit.CountsPath() {
		length = j.reading.Path
	}
	um, err = j.limit.MPE.At(length)
	return um, length, err
}
