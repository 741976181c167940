package rules

import (
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// Acceptance is a certificate with what came of its incoming review.
type Acceptance struct {
	Certificate *records.Certificate
	Outcome     records.Outcome    // empty: not reviewed
	Quantities  []records.Quantity // accepted with limits: for these
	Review      Source             // zero: not reviewed
	From        time.Time          // in force from this instant on; zero: it never was
}

// Covers reports whether the certificate was accepted for a quantity.
func (a *Acceptance) Covers(q records.Quantity) bool {
	return a.Outcome == records.Accepted || a.Outcome == records.AcceptedWithLimits && slices.Contains(a.Quantities, q)
}

// Acceptances lists the certificates of a device or artifact that were known
// at an instant, by the day of the calibration; corrected ones are replaced by
// their corrections. A set without a readable site gives none.
func Acceptances(set *records.Set, at time.Time, options Options, subject string) []Acceptance {
	return KnowledgeAt(set, at, options).Acceptances(subject)
}

// Acceptances is [Acceptances] by what was known.
func (k *Knowledge) Acceptances(subject string) []Acceptance {
	if k.context == nil {
		return nil
	}
	c := k.context.apart()
	v := c.viewOf(subject)
	list, _, _ := c.acceptances(&v)
	var out []Acceptance
	for _, cert := range v.certificates {
		a := Acceptance{Certificate: cert}
		if r, found := c.reviewOf(cert, &v); found {
			a.Outcome, a.Quantities, a.Review = r.outcome, r.quantities, r.source
		}
		for i := range list {
			if list[i].cert == cert {
				a.From = list[i].from
			}
		}
		out = append(out, a)
	}
	return out
}

// Reliance is what a check made with an artifact takes its reference values
// from, and all that speaks against relying on it.
type Reliance struct {
	Artifact    *records.Artifact    // nil: it is not there, or cannot be read
	Certificate *records.Certificate // in force when the check was made; nil: none was
	LastDay     calendar.Date        // of its calibration interval; zero: no recalibration is needed
	Expired     bool                 // that day had passed
	Unsound     *records.Event       // because of which it was not to be relied on; nil: none
}

// ReliedOn finds what a check made with an artifact at t relies on, by what
// was known at an instant.
func ReliedOn(set *records.Set, at time.Time, options Options, artifact string, t time.Time) Reliance {
	return KnowledgeAt(set, at, options).ReliedOn(artifact, t)
}

// ReliedOn is [ReliedOn] by what was known.
func (k *Knowledge) ReliedOn(artifact string, t time.Time) Reliance {
	if k.context == nil {
		return Reliance{}
	}
	c := k.context.apart()
	a := c.artifacts[artifact]
	if a == nil {
		return Reliance{}
	}
	out := Reliance{Artifact: a.record}
	in := inForce(a.accepted, t)
	if in == nil {
		out.Unsound = c.unsound(a, &records.Certificate{}, t)
		return out
	}
	out.Certificate = in.cert
	for i := range a.accepted {
		if &a.accepted[i] == in {
			out.LastDay, out.Expired = c.expiry(a, i, t)
		}
	}
	out.Unsound = c.unsound(a, in.cert, t)
	return out
}

// LimitCalibration is a certificate by which a device is calibrated for one of
// its limits.
type LimitCalibration struct {
	Limit       *records.Limit
	Certificate *records.Certificate      // nil: no certificate in force has an error in the limit's range
	Errors      []*records.CertifiedError // those in the range, as the device was left
	Since       Source                    // adjustment or repair since, after which it says nothing of the device; zero: none
}

// LimitCalibrations finds the certificates by which a device is calibrated at
// an instant, in the order of its limits: for each limit the last one that
// covers it, or several of one day, since nothing says which of them came last.
// A device or site that cannot be read has none.
func LimitCalibrations(set *records.Set, at time.Time, options Options, device string) []LimitCalibration {
	return KnowledgeAt(set, at, options).LimitCalibrations(device)
}

// LimitCalibrations is [LimitCalibrations] by what was known.
func (k *Knowledge) LimitCalibrations(device string) []LimitCalibration {
	d := k.served(device)
	if d == nil {
		return nil
	}
	var out []LimitCalibration
	for i := range d.record.Limits {
		limit := &d.record.Limits[i]
		in := d.calibrationOf(limit)
		if in == nil {
			out = append(out, LimitCalibration{Limit: limit})
			continue
		}
		for k := range d.accepted {
			a := &d.accepted[k]
			if a.cert.Date != in.cert.Date || !a.covers(limit.Quantity) {
				continue
			}
			if c := d.limitCalibration(limit, a.cert); len(c.Errors) > 0 {
				out = append(out, c)
			}
		}
	}
	return out
}

func (d *deviceContext) limitCalibration(limit *records.Limit, cert *records.Certificate) LimitCalibration {
	out := LimitCalibration{Limit: limit, Certificate: cert}
	errs := left(cert)
	for i := range errs {
		if d.record.LimitFor(errs[i].Quantity, errs[i].Length.Millimetres()) == limit {
			out.Errors = append(out.Errors, &errs[i])
		}
	}
	for i := range d.out.Service.restarts {
		if r := &d.out.Service.restarts[i]; !d.calibratedAfter(cert, r) {
			out.Since = r.source
		}
	}
	return out
}
