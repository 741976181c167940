package records

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// EventKind is what happened to a device or an artifact.
type EventKind string

// The kinds of events.
const (
	Adjustment       EventKind = "adjustment"
	Repair           EventKind = "repair"
	Withdrawal       EventKind = "withdrawal"
	ReturnToService  EventKind = "return-to-service"
	Retirement       EventKind = "retirement"
	Limitation       EventKind = "limitation"
	LimitationLifted EventKind = "limitation-lifted"
	Doubt            EventKind = "doubt"
	FirmwareChange   EventKind = "firmware"
	Relocation       EventKind = "relocation"
	Handover         EventKind = "handover"
	IntervalChange   EventKind = "interval-change"
	Extension        EventKind = "extension"
	CertificateRead  EventKind = "review"
)

// Event is something that happened to a device or an artifact:
// events/<subject>/<date>-<kind>.toml.
type Event struct {
	ID, File string

	Subject string
	Kind    EventKind
	Time    time.Time // when it happened
	Entered time.Time
	By      string
	Reason  string
	Note    string
	Amends  string

	AsFound     string            // adjustment: check or certificate before it, or "none"
	Evidence    string            // return to service: the check that justifies it
	Firmware    string            // firmware: the version loaded
	Location    string            // relocation
	Owner       string            // handover
	Of          string            // interval change, extension: "calibration" or a procedure
	Interval    quantity.Interval // interval change
	Until       calendar.Date     // extension
	Quantities  []Quantity        // limitation, extension, review: what may still be measured
	UpTo        quantity.Length   // limitation, extension: up to this length
	Since       calendar.Date     // doubt: from when results are in doubt
	Certificate string            // review: the certificate reviewed
	Outcome     Outcome           // review
}

// NoAsFound is the value of as-found when no reading was taken before an
// adjustment.
const NoAsFound = "none"

// OfCalibration is the value of "of" for the calibration itself.
const OfCalibration = "calibration"

// EventKindNames lists the kinds of events.
func EventKindNames() []EventKind {
	return []EventKind{
		Adjustment, Repair, Withdrawal, ReturnToService, Retirement, Limitation, LimitationLifted,
		Doubt, FirmwareChange, Relocation, Handover, IntervalChange, Extension, CertificateRead,
	}
}
