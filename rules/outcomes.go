package rules

import (
	"fmt"
	"math"
	"slices"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/rules/conformity"
)

// CalibrationHistory is what the calibrations of a device say about its
// calibration interval.
type CalibrationHistory struct {
	Device   string
	Outcomes []CalibrationOutcome // by day of calibration
	Without  []NoOutcome          // calibrations that say nothing of the interval, and why
	// InForce are the certificates by which the device is calibrated at the
	// instant, for each limit the last one that covers it.
	InForce []*records.Certificate
}

// CalibrationOutcome is what a calibration found before any adjustment, after
// the device had been left alone since the calibration before. A certificate
// that closes the intervals of several others, each of other limits, gives
// one outcome for each of them.
type CalibrationOutcome struct {
	Certificate, Previous *records.Certificate
	Months                float64 // from Previous to Certificate, see [MonthsBetween]

	// Verdict is the gravest over the errors found, by the site's decision rule
	// and the limits as the device's record has them. InTolerance asks for one
	// that lets the device be used: an inconclusive one does not show it.
	Verdict     conformity.Verdict
	InTolerance bool
	Ratio       float64                 // the largest |error|/MPE
	Of          *records.CertifiedError // where it was found
}

// NoOutcome says why a calibration gives no outcome.
type NoOutcome struct {
	Why    string // a clause that follows the certificate's name
	Name   string // "certificate S-9 of 2026-03-01", or the file that cannot be read
	First  bool   // no calibration came before it: nothing is amiss
	Source Source
}

// Outcomes derives from the records, as they were known at an instant, what the
// calibrations of each device named found. It looks at accepted certificates
// only. No outcome is drawn across an adjustment or a repair, since what was
// found after it says nothing of the whole interval, and none at all for a
// device with a certificate or an event that cannot be read: an interval might
// be two. A set without a readable site gives none.
func Outcomes(set *records.Set, at time.Time, options Options, devices ...string) []CalibrationHistory {
	out := make([]CalibrationHistory, len(devices))
	if set.Site == nil || set.Site.Zone == nil {
		for i, id := range devices {
			out[i] = CalibrationHistory{Device: id, Without: []NoOutcome{{Why: "the site's settings cannot be read", Name: records.SiteFile, Source: Source{File: records.SiteFile}}}}
		}
		return out
	}
	c := newContext(set, at, options)
	for i, id := range devices {
		h := &history{deviceContext: c.newDevice(id), CalibrationHistory: CalibrationHistory{Device: id}}
		h.derive()
		out[i] = h.CalibrationHistory
	}
	return out
}

// history is a calibration history in progress.
type history struct {
	*deviceContext
	CalibrationHistory
}

func (h *history) derive() {
	for _, kind := range []string{"device", "certificate", "event"} {
		for _, u := range h.broken[kind+" "+h.id] {
			h.Without = append(h.Without, NoOutcome{
				Why: "it cannot be read, so no outcome is drawn for the device: " + u.Message, Name: u.File, Source: Source{u.File, int(u.Position.Line)},
			})
		}
	}
	if h.record == nil || len(h.Without) > 0 {
		return
	}
	h.service() // finds the adjustments
	for i := range h.accepted {
		h.outcome(i)
	}
	for i := range h.record.Limits {
		if a := h.calibrationOf(&h.record.Limits[i]); a != nil && !slices.Contains(h.InForce, a.cert) {
			h.InForce = append(h.InForce, a.cert)
		}
	}
	for _, cert := range h.unreviewed {
		h.no(cert, "it is not reviewed yet")
	}
	for _, cert := range h.sentBack {
		h.no(cert, "it was sent back")
	}
}

func (h *history) no(cert *records.Certificate, why string) {
	h.Without = append(h.Without, NoOutcome{Why: why, Name: fmt.Sprintf("certificate %s of %s", cert.Number, cert.Date), Source: Source{File: cert.File}})
}

// outcome judges what the i-th accepted certificate found, apart for each
// calibration that was the last before it for some limit.
func (h *history) outcome(i int) {
	a := &h.accepted[i]
	cert := a.cert
	if len(cert.AsFound) == 0 {
		h.no(cert, "the device was adjusted without as-found errors")
		return
	}
	// What was accepted before this certificate, and nothing else.
	before := deviceContext{record: h.record, accepted: h.accepted[:i]}
	var ended []*records.Certificate
	first := false
	for k := range cert.AsFound {
		limit := h.limitOf(a, &cert.AsFound[k])
		if limit == nil {
			continue
		}
		previous := before.calibrationOf(limit)
		if previous == nil {
			first = true
			continue
		}
		if !slices.Contains(ended, previous.cert) {
			ended = append(ended, previous.cert)
			h.since(&before, previous.cert, a)
		}
	}
	switch {
	case len(ended) > 0:
	case first:
		h.no(cert, "it is the first calibration, and no interval ended with it")
		h.Without[len(h.Without)-1].First = true
	default:
		h.no(cert, "it states no error that the device has a limit for and that it was accepted for")
	}
}

// limitOf returns the limit an error counts for; nil if it counts for none.
func (h *history) limitOf(a *accepted, e *records.CertifiedError) *records.Limit {
	if !a.covers(e.Quantity) {
		return nil
	}
	return h.record.LimitFor(e.Quantity, e.Length.Millimetres())
}

// since judges the errors for the limits that previous was the last to
// calibrate.
func (h *history) since(before *deviceContext, previous *records.Certificate, a *accepted) {
	cert := a.cert
	o := CalibrationOutcome{Certificate: cert, Previous: previous, Months: MonthsBetween(previous.Date, cert.Date), Verdict: conformity.Pass}
	if o.Months == 0 {
		h.no(cert, fmt.Sprintf("certificate %s is of the same day", previous.Number))
		return
	}
	for i := range h.out.Service.restarts {
		if r := &h.out.Service.restarts[i]; h.between(previous, r, cert) {
			what := r.kind()
			if r.cert != nil {
				what = "adjustment at the calibration"
			}
			h.no(cert, fmt.Sprintf("the %s of %s lies between it and the calibration of %s", what, h.day(r.time), previous.Date))
			return
		}
	}
	for k := range cert.AsFound {
		e := &cert.AsFound[k]
		limit := h.limitOf(a, e)
		if limit == nil {
			continue
		}
		if p := before.calibrationOf(limit); p == nil || p.cert != previous {
			continue
		}
		decision, err := h.decideCertified(e, limit)
		if err != nil {
			h.no(cert, fmt.Sprintf("%s at %s cannot be judged: %s", e.Quantity, e.Length, err))
			return
		}
		if gravity(decision.Verdict) > gravity(o.Verdict) {
			o.Verdict = decision.Verdict
		}
		if ratio := math.Abs(decision.ErrorUM) / decision.MPEUM; o.Of == nil || ratio > o.Ratio {
			o.Ratio, o.Of = ratio, e
		}
	}
	o.InTolerance = good(o.Verdict)
	h.Outcomes = append(h.Outcomes, o)
}

// between reports whether an adjustment or repair lies between two
// calibrations, or may lie there: what a certificate found on the same day is
// of before it only if one of the two says so.
func (h *history) between(previous *records.Certificate, r *restart, cert *records.Certificate) bool {
	switch {
	case h.calibratedAfter(previous, r), r.cert == cert, r.asFound == withoutSuffix(cert.File):
		return false
	}
	return !h.day(r.time).After(cert.Date)
}

// MonthsBetween counts the calendar months from one day to a later one: whole
// months, a day the month does not have being its last, and the days left over
// as a share of the month they are in. It is 0 if the second is not later.
func MonthsBetween(from, to calendar.Date) float64 {
	months := max(0, (to.Year-from.Year)*12+int(to.Month)-int(from.Month))
	after := func(n int) calendar.Date { return from.Add(quantity.Interval{Months: n}) }
	if months > 0 && after(months).After(to) {
		months--
	}
	if !to.After(from) {
		return 0
	}
	begin := after(months)
	return float64(months) + float64(begin.DaysUntil(to))/float64(begin.DaysUntil(after(months+1)))
}

// DaysPerMonth is the mean month of the Gregorian calendar: 146 097 days in
// 4800 months.
const DaysPerMonth = 146097.0 / 4800

// Months returns an interval as a number of months, days being parts of
// the mean month.
func Months(i quantity.Interval) float64 { return float64(i.Months) + float64(i.Days)/DaysPerMonth }
