package trace

import (
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// certificate puts a certificate below a step, with its file, its laboratory
// and what it is traceable to.
func (b *builder) certificate(above *Step, cert *records.Certificate) *Step {
	s := b.step(Certificate, cert.File, cert.Number)
	b.rests(above, s)
	if len(s.Sources) > 0 {
		return s // said already
	}
	source := rules.Source{File: cert.File}
	s.from(source)
	s.say("of %s, calibrated on %s", cert.Subject, cert.Date)
	for _, a := range b.knowledge.Acceptances(cert.Subject) {
		if a.Certificate != cert || a.From.IsZero() {
			continue
		}
		text := fmt.Sprintf("%s, in force from %s on", a.Outcome, b.day(a.From))
		if a.Outcome == records.AcceptedWithLimits {
			text += fmt.Sprintf(", for %s", quantityList(a.Quantities))
		}
		s.say("%s", text)
	}
	if cert.Attachment == nil {
		s.gap("file-unnamed", "the record names no file of the certificate itself", source)
	} else {
		b.file(s, cert.Attachment, source)
	}
	b.laboratory(s, cert)
	return s
}

// value adds the certified value of a feature to a certificate.
func (b *builder) value(s *Step, cert *records.Certificate, a *records.Artifact, feature string) {
	v := cert.Value(feature)
	if v == nil {
		return
	}
	f := Figure{Of: feature, What: "value", ValueUM: figure.Known(v.Value.Micrometres()), Source: rules.Source{File: cert.File, Line: v.Line}}
	lengthMM := v.Value.Millimetres()
	if x := a.Feature(feature); x != nil {
		f.Quantity, lengthMM = x.Quantity, x.Nominal.Millimetres()
	}
	b.stated(s, f, v.Uncertainty)
	b.scope(s, cert, f, lengthMM)
}

// calibrated adds an error found at a device's calibration.
func (b *builder) calibrated(s *Step, cert *records.Certificate, e *records.CertifiedError) {
	f := Figure{
		Of: fmt.Sprintf("%s at %s", e.Quantity, e.Length), Quantity: e.Quantity, What: "error", ValueUM: figure.Known(e.Error.Micrometres()),
		Source: rules.Source{File: cert.File, Line: e.Line},
	}
	if !e.Path.IsZero() {
		f.Of += fmt.Sprintf(" over a path of %s", e.Path)
	}
	b.stated(s, f, e.Uncertainty)
	b.scope(s, cert, f, e.Length.Millimetres())
}

// stated adds a figure with the uncertainty a certificate states of it.
func (b *builder) stated(s *Step, f Figure, u quantity.LengthUncertainty) {
	expanded, k, ok := u.Expanded()
	switch {
	case ok && expanded > 0:
		f.ExpandedUM, f.Factor = figure.Known(expanded), figure.Known(k)
	case ok || u.Standard() == 0:
		f.ExpandedUM, f.Factor = figure.Absent("stated as zero"), figure.Absent("stated as zero")
		s.gap("uncertainty-incomplete", fmt.Sprintf("%s: an uncertainty of zero is stated", f.Of), f.Source)
	default:
		f.ExpandedUM, f.Factor = figure.Absentf("stated as %s", u), figure.Absentf("stated as %s", u)
		s.gap("uncertainty-incomplete", fmt.Sprintf("%s: the uncertainty is stated as %s, without U and k", f.Of, u), f.Source)
	}
	s.figure(f)
}

// calibrations puts below a device the certificates by which it was calibrated
// for some of its limits.
func (b *builder) calibrations(s *Step, d *rules.Device, limits []*records.Limit, at time.Time) {
	plan := &d.Record.Calibration
	if plan.NotRequired != "" {
		s.say("no calibration is required: %s", plan.NotRequired)
	}
	for _, c := range b.knownAt(d.ID, at).LimitCalibrations(d.ID) {
		if !slices.Contains(limits, c.Limit) {
			continue
		}
		if c.Certificate == nil {
			if plan.NotRequired == "" {
				s.gap("certificate-missing", fmt.Sprintf("no accepted certificate in force on %s covers %s", b.day(at), c.Limit.Quantity), rules.Source{File: d.Record.File, Line: c.Limit.Line})
				b.notInForce(s, d.ID, calendar.Date{}, at)
			}
			continue
		}
		step := b.certificate(s, c.Certificate)
		for _, e := range c.Errors {
			b.calibrated(step, c.Certificate, e)
		}
		if due := &d.Calibration; due.State == rules.Overdue && due.Last == c.Certificate.Date {
			step.gap("certificate-expired", fmt.Sprintf("its interval ended on %s, before %s", due.Date, b.day(at)), append([]rules.Source{{File: c.Certificate.File}}, due.Sources...)...)
			b.notInForce(s, d.ID, c.Certificate.Date, at)
		}
		if c.Since.File != "" {
			step.gap("adjusted-since", fmt.Sprintf("%s was adjusted or repaired since (%s)", d.ID, c.Since.File), c.Since)
		}
	}
}
