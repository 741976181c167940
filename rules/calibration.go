package rules

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// inForce returns the device's latest certificate in force today, or nil.
func (d *deviceContext) inForce() *accepted { return d.inForceNow(d.accepted) }

// calibrationOf returns the certificate in force that calibrated the device for
// a limit: the latest one that was accepted for the quantity and has an error
// in the limit's range; nil when there is none. Certificates of different
// quantities stand beside each other.
func (d *deviceContext) calibrationOf(limit *records.Limit) *accepted {
	for i := len(d.accepted) - 1; i >= 0; i-- {
		a := &d.accepted[i]
		if a.covers(limit.Quantity) && slices.ContainsFunc(left(a.cert), func(e records.CertifiedError) bool {
			return d.record.LimitFor(e.Quantity, e.Length.Millimetres()) == limit
		}) {
			return a
		}
	}
	return nil
}

// oldestCalibration returns the certificate by which the calibration as a whole
// is due: of those that calibrated the device for each of its limits, the
// oldest. A certificate for one quantity does not put off when another is due.
// Where no certificate says anything of a limit, it is the latest.
func (d *deviceContext) oldestCalibration() *accepted {
	var oldest *accepted
	for i := range d.record.Limits {
		if a := d.calibrationOf(&d.record.Limits[i]); a != nil && (oldest == nil || a.cert.Date.Before(oldest.cert.Date)) {
			oldest = a
		}
	}
	if oldest == nil {
		return d.inForce()
	}
	return oldest
}

// lastCalibration takes the errors of the certificates in force as evidence,
// for each limit those of the last that covers it.
func (d *deviceContext) lastCalibration() {
	for i := range d.record.Limits {
		limit := &d.record.Limits[i]
		a := d.calibrationOf(limit)
		if a == nil {
			continue
		}
		// Nothing says which of several certificates of one day came last: all of them count.
		for j := range d.accepted {
			same := &d.accepted[j]
			if same.cert.Date != a.cert.Date || !same.covers(limit.Quantity) {
				continue
			}
			if !d.stands(same.cert) {
				d.before[limit] = true
				continue
			}
			d.takeCertified(same, limit)
		}
	}
	if in := d.inForce(); in != nil {
		for _, e := range left(in.cert) {
			if d.record.LimitFor(e.Quantity, e.Length.Millimetres()) == nil {
				d.add("rule-refused", fmt.Sprintf("certificate %s: the device has no limit for %s at %s", in.cert.Number, e.Quantity, e.Length), []records.Quantity{e.Quantity}, Source{in.cert.File, e.Line})
			}
		}
	}
}

func (d *deviceContext) takeCertified(a *accepted, limit *records.Limit) {
	errs := left(a.cert)
	for i := range errs {
		e := &errs[i]
		if d.record.LimitFor(e.Quantity, e.Length.Millimetres()) != limit {
			continue
		}
		decision, err := d.decideCertified(e, limit)
		if err != nil {
			d.add("rule-refused", fmt.Sprintf("certificate %s, %s at %s: %s", a.cert.Number, e.Quantity, e.Length, err), []records.Quantity{e.Quantity}, Source{a.cert.File, e.Line})
			continue
		}
		d.out.Evidence = append(d.out.Evidence, Evidence{
			From: records.OfCalibration, Feature: e.Length.String(), Quantity: e.Quantity, Limit: limit, Time: a.cert.Date.StartIn(d.zone),
			Decision: decision, Source: Source{a.cert.File, e.Line}, Certified: e,
		})
	}
}

// stands reports whether a certificate shows the device as every adjustment
// and repair left it.
func (d *deviceContext) stands(cert *records.Certificate) bool {
	for i := range d.out.Service.restarts {
		if !d.calibratedAfter(cert, &d.out.Service.restarts[i]) {
			return false
		}
	}
	return true
}

// decideCertified judges an error a laboratory found, by the site's rule and
// with the uncertainty the certificate states.
func (d *deviceContext) decideCertified(e *records.CertifiedError, limit *records.Limit) (conformity.Decision, error) {
	if limit == nil {
		return conformity.Decision{}, fmt.Errorf("the device has no limit for %s at %s", e.Quantity, e.Length)
	}
	length := e.Length
	if limit.CountsPath() {
		length = e.Path
	}
	mpe, err := limit.MPE.At(length)
	if err != nil {
		return conformity.Decision{}, err
	}
	expanded, k, ok := e.Uncertainty.Expanded()
	if !ok {
		expanded, k = 2*e.Uncertainty.Standard(), 2
	}
	rule := conformity.Simple
	if d.set.Site.Decision.Rule != "" {
		rule = conformity.Rule(d.set.Site.Decision.Rule)
	}
	size := e.Error.Micrometres()
	if e.Quantity.OneSided() {
		size = math.Abs(size)
	}
	return conformity.Decide(conformity.Case{
		ErrorUM: size, MPEUM: mpe, Rule: rule, OneSided: e.Quantity.OneSided(),
		Uncertainty: &conformity.Uncertainty{ExpandedUM: expanded, Factor: k},
	})
}
