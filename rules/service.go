package rules

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/records"
	"plumbrule/records/calendar"
)

// ServiceState is whether a device is in use.
type ServiceState string

// The states of service.
const (
	InService    ServiceState = "in service"
	NotInService ServiceState = "not yet in service"
	Withdrawn    ServiceState = "withdrawn"
	Retired      ServiceState = "retired"
)

// Service is the state of service with the histories that events make.
type Service struct {
	State    ServiceState
	Since    calendar.Date
	Location string
	Owner    string
	Firmware string
	History  []*records.Event // in the order of time; not to be changed

	restarts    []restart        // in the order of time
	away        []span           // times withdrawn
	limitations []*records.Event // in effect
	doubt       *records.Event   // the last
	firmwareAt  *records.Event   // the last
	withdrawnBy *records.Event   // the last withdrawal that took it out of service
	returnedBy  *records.Event   // the last return that ended one
	retiredBy   *records.Event
}

// span is a stretch of time; a zero end is open.
type span struct{ from, to time.Time }

// service follows the device's events to the instant.
func (d *deviceContext) service() {
	s := &d.out.Service
	*s = Service{
		State: InService, Since: d.record.InService, Location: d.record.Location, Owner: d.record.Owner,
		Firmware: d.record.Firmware, History: d.view.events,
	}
	for _, e := range d.view.events {
		d.follow(s, e)
	}
	d.restarts()
	if !d.reached(d.record.InService) {
		if s.State == InService {
			s.State = NotInService
		}
		d.add("not-in-service", fmt.Sprintf("comes into service on %s", d.record.InService), nil, Source{File: d.record.File})
	}
	for _, e := range s.limitations {
		d.add("limitation", "limited to "+scopeWords(e)+": "+e.Reason, e.Quantities, Source{File: e.File})
	}
}

// follow applies one event. Retirement is for good; a second withdrawal does
// not start another; limitations add up until they are lifted.
func (d *deviceContext) follow(s *Service, e *records.Event) {
	day := d.day(e.Time)
	switch e.Kind {
	case records.Withdrawal:
		if s.State == InService {
			s.State, s.Since, s.withdrawnBy = Withdrawn, day, e
			s.away = append(s.away, span{from: e.Time})
		}
	case records.ReturnToService:
		if s.State == Withdrawn {
			s.State, s.Since, s.returnedBy = InService, day, e
			s.away[len(s.away)-1].to = e.Time
		}
	case records.Retirement:
		s.State, s.Since, s.retiredBy = Retired, day, e
	case records.Limitation:
		s.limitations = append(s.limitations, e)
	case records.LimitationLifted:
		s.limitations = nil
	case records.Doubt:
		s.doubt = e
	case records.FirmwareChange:
		s.Firmware, s.firmwareAt = e.Firmware, e
	case records.Relocation:
		s.Location = e.Location
	case records.Handover:
		s.Owner = e.Owner
	case records.Adjustment, records.Repair, records.IntervalChange, records.Extension, records.CertificateRead:
	}
}

// scopeWords writes what an event still allows: quantities, up to a length.
func scopeWords(e *records.Event) string {
	out := "every quantity"
	if len(e.Quantities) > 0 {
		names := make([]string, len(e.Quantities))
		for i, q := range e.Quantities {
			names[i] = string(q)
		}
		out = strings.Join(names, ", ")
	}
	if !e.UpTo.IsZero() {
		out += " up to " + e.UpTo.String()
	}
	return out
}
