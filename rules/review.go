package rules

import (
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// review is what came of the incoming review of a certificate, from the
// certificate itself or from an event.
type review struct {
	date       calendar.Date
	outcome    records.Outcome
	quantities []records.Quantity
	source     Source
}

// reviewOf finds the review of a certificate that was known at the instant.
func (c *context) reviewOf(cert *records.Certificate, v *view) (review, bool) {
	name := withoutSuffix(cert.File)
	for _, e := range slices.Backward(v.events) {
		if e.Kind == records.CertificateRead && withoutSuffix(e.Certificate) == name {
			return review{c.day(e.Time), e.Outcome, e.Quantities, Source{File: e.File}}, true
		}
	}
	if r := cert.Review; r != nil && c.reached(r.Date) {
		return review{r.Date, r.Outcome, r.Quantities, Source{cert.File, r.Line}}, true
	}
	return review{}, false
}

// accepted is a certificate in force from a day on.
type accepted struct {
	cert       *records.Certificate
	limited    bool               // accepted for some quantities only
	quantities []records.Quantity // those it was accepted for, when limited
	source     Source             // of the review
	from       time.Time          // start of the first day it was in force
}

// covers reports whether the certificate was accepted for the quantity.
func (a *accepted) covers(q records.Quantity) bool {
	return !a.limited || slices.Contains(a.quantities, q)
}

// acceptances lists the accepted certificates of a subject by calibration
// date, and those that are not in force. A certificate is in force from its
// review on, and not before the day of its calibration.
func (c *context) acceptances(v *view) (list []accepted, unreviewed, sentBack []*records.Certificate) {
	for _, cert := range v.certificates {
		r, found := c.reviewOf(cert, v)
		switch {
		case !found:
			unreviewed = append(unreviewed, cert)
		case r.outcome == records.Accepted, r.outcome == records.AcceptedWithLimits:
			from := r.date
			if cert.Date.After(from) {
				from = cert.Date
			}
			list = append(list, accepted{
				cert: cert, limited: r.outcome == records.AcceptedWithLimits, quantities: r.quantities,
				source: r.source, from: from.StartIn(c.zone),
			})
		default:
			sentBack = append(sentBack, cert)
		}
	}
	return list, unreviewed, sentBack
}

// inForce returns the certificate in force at an instant: the latest
// calibration among those accepted by then, or nil.
func inForce(list []accepted, t time.Time) *accepted {
	for i := len(list) - 1; i >= 0; i-- {
		if !list[i].from.After(t) {
			return &list[i]
		}
	}
	return nil
}
