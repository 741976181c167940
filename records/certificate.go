package records

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Certificate is one calibration certificate of an artifact or a device:
// certificates/<subject>/<date>-<number>.toml.
type Certificate struct {
	ID, File string

	Subject, Number          string
	Date                     calendar.Date // of the calibration
	Issued, Received         calendar.Date // zero: not stated
	Laboratory               string
	Accreditation            string     // zero: none stated
	Scope                    []Quantity // quantities the accreditation covers
	Traceability             string     // the laboratory's statement
	Adjusted                 bool       // the object was adjusted during this calibration
	Values                   []CertifiedValue
	AsFound, AsLeft          []CertifiedError
	Review                   *Review
	Attachment               *Attachment
	Amends, Reason, By, Note string
	Entered                  time.Time
}

// CertifiedValue is the reference value of one feature of an artifact at 20 °C.
type CertifiedValue struct {
	Feature     string
	Value       quantity.Length
	Uncertainty quantity.LengthUncertainty
	Line        int
}

// CertifiedError is an error of indication of a device found at its
// calibration.
type CertifiedError struct {
	Quantity    Quantity
	Length      quantity.Length // straight length at which it was found
	Path        quantity.Length // path travelled; zero: not stated
	Error       quantity.Length
	Uncertainty quantity.LengthUncertainty
	Line        int
}

// Outcome of an incoming review.
type Outcome string

// Outcomes of the incoming review of a certificate. Only an accepted
// certificate is in force.
const (
	Accepted           Outcome = "accepted"
	AcceptedWithLimits Outcome = "accepted with limits"
	SentBack           Outcome = "sent back"
)

// Review is the incoming review of a certificate (ISO/IEC 17025:2017, 6.6.2 c).
type Review struct {
	By         string
	Date       calendar.Date
	Outcome    Outcome
	Quantities []Quantity // with limits: what it may be used for
	Reason     string
	Line       int
}

// InForce reports whether the review lets the certificate count.
func (r *Review) InForce() bool {
	return r != nil && (r.Outcome == Accepted || r.Outcome == AcceptedWithLimits)
}

// Attachment is a file that belongs to a record, told by its digest.
type Attachment struct {
	File   string // path inside the repository
	SHA256 string // lower-case hexadecimal
	Size   int64  // bytes; 0: not stated
}

// Value returns the certified value of the feature, or nil.
func (c *Certificate) Value(feature string) *CertifiedValue {
	for i := range c.Values {
		if c.Values[i].Feature == feature {
			return &c.Values[i]
		}
	}
	return nil
}
