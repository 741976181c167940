package rules

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"plumbrule/records"
)

// restart is an adjustment or repair: what was found before it says nothing
// about the device after it.
type restart struct {
	time    time.Time
	wholeOf bool   // dated to the day only, by a certificate
	asFound string // name of the check or certificate made before it; empty: none
	source  Source
	event   *records.Event       // nil: an adjustment at a calibration
	cert    *records.Certificate // nil: an event
}

// kind names what the restart was.
func (r *restart) kind() string {
	if r.event != nil {
		return string(r.event.Kind)
	}
	return "calibration"
}

// restarts lists adjustments and repairs, those at calibrations included; a
// laboratory that adjusted the device did so whether or not its certificate
// was accepted.
func (d *deviceContext) restarts() {
	list := &d.out.Service.restarts
	for _, e := range d.view.events {
		if e.Kind != records.Adjustment && e.Kind != records.Repair {
			continue
		}
		r := restart{time: e.Time, source: Source{File: e.File}, event: e}
		if e.AsFound != records.NoAsFound {
			r.asFound = follow(d.view.corrected, withoutSuffix(e.AsFound))
		}
		*list = append(*list, r)
	}
	for _, cert := range d.view.certificates {
		if cert.Adjusted {
			*list = append(*list, restart{time: cert.Date.StartIn(d.zone), wholeOf: true, source: Source{File: cert.File}, cert: cert})
		}
	}
	slices.SortStableFunc(*list, func(a, b restart) int {
		return cmp.Or(a.time.Compare(b.time), cmp.Compare(a.source.File, b.source.File))
	})
}

// after reports whether a check shows the device as the restart left it. At
// the same instant, or on the same day where only the day is known, the check
// must say so itself: nothing else tells which came first.
func (d *deviceContext) after(k *records.Check, r *restart) bool {
	switch {
	case r.asFound != "" && withoutSuffix(k.File) == r.asFound:
		return false
	case k.Time.Before(r.time):
		return false
	case r.wholeOf && k.Time.Before(r.cert.Date.EndIn(d.zone)), k.Time.Equal(r.time):
		return k.Purpose == records.AsLeftCheck
	}
	return true
}

// calibratedAfter reports whether a certificate shows the device as the
// restart left it: one of a later day, or one of that day which itself says
// how the device was left.
func (d *deviceContext) calibratedAfter(cert *records.Certificate, r *restart) bool {
	if r.cert == cert {
		return true
	}
	switch cert.Date.Compare(d.day(r.time)) {
	case 1:
		return true
	case 0:
		return cert.Adjusted && r.asFound != withoutSuffix(cert.File)
	}
	return false
}

// lastRestart returns the last adjustment or repair, or nil.
func (d *deviceContext) lastRestart() *restart {
	if n := len(d.out.Service.restarts); n > 0 {
		return &d.out.Service.restarts[n-1]
	}
	return nil
}

// pasts remarks on periods that ended with an adjustment and that nothing, or
// only a failure, closes. Those before the last accepted calibration were
// remarked on in their time, and would pile up.
func (d *deviceContext) pasts() {
	var unproven []Source
	sentence := ""
	in := d.inForce()
	for i := range d.out.Service.restarts {
		r := &d.out.Service.restarts[i]
		if in != nil && r.cert != in.cert && !in.cert.Date.Before(d.day(r.time)) {
			continue
		}
		switch {
		case r.cert != nil:
			if len(r.cert.AsFound) == 0 {
				sentence = fmt.Sprintf("adjusted at its calibration of %s without as-found errors", r.cert.Date)
				unproven = append(unproven, r.source)
			}
		case r.asFound == "":
			sentence = fmt.Sprintf("%s on %s without as found: %s", r.kind(), d.day(r.time), r.event.Reason)
			unproven = append(unproven, r.source)
		}
		var previous *restart
		if i > 0 {
			previous = &d.out.Service.restarts[i-1]
		}
		d.foundFailing(r, previous)
	}
	if n := len(unproven) - 1; n > 0 {
		sentence += fmt.Sprintf(" (and %d before it since the last calibration)", n)
	}
	if len(unproven) > 0 {
		slices.Reverse(unproven)
		d.add("past-unproven", sentence, nil, unproven...)
	}
}
