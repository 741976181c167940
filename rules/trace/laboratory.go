package trace

import (
	"fmt"
	"strings"

	"plumbrule/records"
	"plumbrule/rules"
)

// laboratory puts the laboratory of a certificate below it, and below that the
// standards it used and what the certificate is traceable to. The laboratory
// stands once for each certificate: its scope is that of the day.
func (b *builder) laboratory(above *Step, cert *records.Certificate) {
	s := b.step(Laboratory, cert.File, cert.Laboratory)
	b.rests(above, s)
	source := rules.Source{File: cert.File}
	s.from(source)
	if cert.Accreditation == "" {
		s.gap("accreditation-missing", fmt.Sprintf("certificate %s: no accreditation is stated", cert.Number), source)
	} else {
		s.say("accreditation %s", cert.Accreditation)
		if scope := scopeWords(cert); scope != "" {
			s.say("scope %s", scope)
		} else {
			s.gap("scope-missing", fmt.Sprintf("certificate %s: the scope of accreditation %s is not stated", cert.Number, cert.Accreditation), source)
		}
	}
	for i := range cert.Standards {
		b.standard(s, cert, &cert.Standards[i])
	}
	if cert.Traceability == "" {
		s.gap("reference-missing", fmt.Sprintf("certificate %s: nothing is said of what it is traceable to", cert.Number), source)
		return
	}
	reference := b.step(Reference, cert.File, cert.Traceability)
	b.rests(s, reference)
	reference.from(source)
	reference.say("as certificate %s states", cert.Number)
}

func (b *builder) standard(above *Step, cert *records.Certificate, x *records.Standard) {
	source := rules.Source{File: cert.File, Line: x.Line}
	s := b.step(Standard, fmt.Sprint(cert.File, "\x00", x.Line), x.Name)
	b.rests(above, s)
	s.from(source)
	if text := listed(prefixed("certificate", x.Certificate), x.Traceability); text != "" {
		s.say("%s", text)
	}
	if x.Until.IsZero() {
		return
	}
	s.say("calibrated until %s", x.Until)
	if x.Until.Before(cert.Date) {
		s.gap("standard-expired", fmt.Sprintf("its calibration ended on %s, before the calibration of %s", x.Until, cert.Date), source)
	}
}

// scope compares a figure of a certificate with the laboratory's stated scope.
func (b *builder) scope(s *Step, cert *records.Certificate, f Figure, lengthMM float64) {
	if covered, stated := cert.InScope(f.Quantity, lengthMM); covered || !stated || cert.Accreditation == "" {
		return
	}
	s.gap("outside-scope", fmt.Sprintf("%s: not in the scope of accreditation %s, which is %s", f.Of, cert.Accreditation, scopeWords(cert)), f.Source)
}

// scopeWords writes the stated scope; empty where none is.
func scopeWords(cert *records.Certificate) string {
	var parts []string
	for _, q := range cert.Scope {
		ranged := false
		for i := range cert.Ranges {
			ranged = ranged || cert.Ranges[i].Quantity == q
		}
		if !ranged {
			parts = append(parts, string(q))
		}
	}
	for i := range cert.Ranges {
		r := &cert.Ranges[i]
		text := string(r.Quantity)
		if !r.Over.IsZero() {
			text += " over " + r.Over.String()
		}
		if !r.UpTo.IsZero() {
			text += " up to " + r.UpTo.String()
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

func quantityList(list []records.Quantity) string {
	var parts []string
	for _, q := range list {
		parts = append(parts, string(q))
	}
	return strings.Join(parts, ", ")
}
