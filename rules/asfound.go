package rules

import (
	"fmt"

	"plumbrule/records"
	"plumbrule/rules/conformity"
)

// foundFailing remarks on errors beyond the limit found before an adjustment
// put the device right: what it measured before is in doubt all the same. They
// are those of the certificate, if one adjusted it, and of the last check for
// each limit between the adjustment and the one before it.
func (d *deviceContext) foundFailing(r, previous *restart) {
	if r.cert != nil {
		for i := range r.cert.AsFound {
			d.foundCertified(r, &r.cert.AsFound[i])
		}
	}
	seen := map[*records.Limit]*records.Check{}
	for i := len(d.view.checks) - 1; i >= 0 && len(seen) < len(d.record.Limits); i-- {
		k := d.view.checks[i]
		if d.after(k, r) {
			continue
		}
		if previous != nil && !d.after(k, previous) {
			return
		}
		b := d.basis(k)
		for i := range k.Readings {
			j, why := d.judge(&b, &k.Readings[i])
			if why.code != "" || seen[j.Limit] != nil && seen[j.Limit] != k {
				continue
			}
			seen[j.Limit] = k
			if failed(j.Decision.Verdict) {
				what := fmt.Sprintf("before the %s of %s the check of %s found %s", r.kind(), d.day(r.time), d.day(k.Time), j.Feature.Name)
				e := evidenceOf(j)
				d.foundBeyond(what, j.Decision, failureOf(&e), r, Source{k.File, j.Reading.Line}, r.source)
			}
		}
	}
}

func (d *deviceContext) foundCertified(r *restart, e *records.CertifiedError) {
	cert := r.cert
	limit := d.record.LimitFor(e.Quantity, e.Length.Millimetres())
	decision, err := d.decideCertified(e, limit)
	if err != nil || !failed(decision.Verdict) {
		return
	}
	d.foundBeyond(fmt.Sprintf("calibration of %s found %s at %s", cert.Date, e.Quantity, e.Length), decision,
		failureOf(&Evidence{From: records.OfCalibration, Limit: limit, Time: r.time, Certified: e}), r, Source{cert.File, e.Line})
}

// foundBeyond remarks on one failing as-found error.
func (d *deviceContext) foundBeyond(what string, decision conformity.Decision, f failure, r *restart, sources ...Source) {
	d.add("as-found-failed", fmt.Sprintf("%s: error %s, limit %s", what, um(decision.ErrorUM), um(decision.MPEUM)), []records.Quantity{f.limit.Quantity}, sources...)
	d.doubtfulJobs(f, r.time, sources[0])
}
