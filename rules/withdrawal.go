package rules

import (
	"fmt"
	"time"

	"plumbrule/records"
)

// withdrawal reports a device that is out of service, and a return that was
// not proven; it needs the evidence.
func (d *deviceContext) withdrawal() {
	s := &d.out.Service
	switch s.State {
	case Retired:
		d.add("retired", fmt.Sprintf("retired on %s: %s", s.Since, s.retiredBy.Reason), nil, Source{File: s.retiredBy.File})
	case Withdrawn:
		d.add("withdrawn", fmt.Sprintf("withdrawn since %s: %s", s.Since, s.withdrawnBy.Reason), nil, Source{File: s.withdrawnBy.File})
	case InService, NotInService:
		if s.returnedBy == nil {
			return
		}
		if why := d.unprovenReturn(s.returnedBy, s.withdrawnBy); why != "" {
			d.add("return-unproven", fmt.Sprintf("returned to service on %s after the withdrawal of %s, and %s", d.day(s.returnedBy.Time), d.day(s.withdrawnBy.Time), why),
				d.quantitiesWithout(func(e *Evidence) bool { return e.Time.After(s.withdrawnBy.Time) && good(e.Verdict()) }),
				Source{File: s.returnedBy.File}, Source{File: s.withdrawnBy.File})
		}
	}
}

// unprovenReturn says what keeps a return to service from being proven, or
// nothing: it must name a passed check, or an accepted certificate without
// failure, that was made between the withdrawal and the return (ISO/IEC
// 17025:2017, 6.4.4: before being put back into service).
func (d *deviceContext) unprovenReturn(e, withdrawal *records.Event) string {
	if k := d.check(e.Evidence); k != nil {
		switch {
		case !k.Time.After(withdrawal.Time):
			return "the check it names was made before"
		case k.Time.After(e.Time):
			return "the check it names was made only after the return"
		case !d.passed(k):
			return "the check it names did not pass"
		}
		return ""
	}
	for i := range d.accepted {
		a := &d.accepted[i]
		if withoutSuffix(a.cert.File) != withoutSuffix(e.Evidence) {
			continue
		}
		switch {
		case !a.cert.Date.After(d.day(withdrawal.Time)):
			return "the certificate it names is not of a later day than the withdrawal"
		case a.cert.Date.After(d.day(e.Time)):
			return "the certificate it names is of a later day"
		case !d.leftGood(a):
			return "the certificate it names shows a failure"
		}
		return ""
	}
	return "the evidence it names is no check and no accepted certificate of the device"
}

// passed reports whether every reading of a check is evidence and passes.
func (d *deviceContext) passed(k *records.Check) bool {
	b := d.basis(k)
	for i := range k.Readings {
		if j, why := d.judge(&b, &k.Readings[i]); why.code != "" || !good(j.Decision.Verdict) {
			return false
		}
	}
	return len(k.Readings) > 0
}

// leftGood reports whether the errors with which a calibration left the device
// all pass.
func (d *deviceContext) leftGood(a *accepted) bool {
	errs := left(a.cert)
	for i := range errs {
		decision, err := d.decideCertified(&errs[i], d.record.LimitFor(errs[i].Quantity, errs[i].Length.Millimetres()))
		if err != nil || !good(decision.Verdict) {
			return false
		}
	}
	return len(errs) > 0
}

// left returns the errors with which a calibration left a device; without
// adjustment as found serves as both.
func left(cert *records.Certificate) []records.CertifiedError {
	if cert.Adjusted {
		return cert.AsLeft
	}
	return cert.AsFound
}

// daysAway counts the days since an anchor on which the device was withdrawn:
// the clock of its checks stood still.
func (d *deviceContext) daysAway(anchor time.Time) int {
	days := 0
	first := d.day(anchor)
	for _, s := range d.out.Service.away {
		from, to := d.day(s.from), d.day(s.to)
		if s.to.IsZero() {
			to = d.dayByDay()
		}
		if from.Before(first) {
			from = first
		}
		if to.After(from) {
			days += from.DaysUntil(to)
		}
	}
	return days
}
