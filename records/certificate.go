package records

import (
	"slices"
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
	Ranges                   []ScopeRange
	Traceability             string // the laboratory's statement
	Standards                []Standard
	Adjusted                 bool // the object was adjusted during this calibration
	Values                   []CertifiedValue
	AsFound, AsLeft          []CertifiedError
	Review                   *Review
	Attachment               *Attachment
	Amends, Reason, By, Note string
	Entered                  time.Time
}

// ScopeRange is a range of lengths that the laboratory's accreditation covers
// for one quantity. A quantity with ranges is covered inside them only.
type ScopeRange struct {
	Quantity   Quantity
	Over, UpTo quantity.Length // above the one, up to the other, included; zero: no end
	Line       int
}

// Holds reports whether a length lies in the range, both ends being compared
// in millimetres.
func (r *ScopeRange) Holds(lengthMM float64) bool {
	return (r.Over.IsZero() || lengthMM > r.Over.Millimetres()) && (r.UpTo.IsZero() || lengthMM <= r.UpTo.Millimetres())
}

// Standard is a measurement standard that the laboratory compared the object
// with, as the certificate names it (ISO/IEC 17025:2017, 6.5.1).
type Standard struct {
	Name         string
	Certificate  string        // number of its own certificate; zero: not stated
	Traceability string        // what is said of its own traceability; zero: not stated
	Until        calendar.Date // last day of its own calibration; zero: not stated
	Line         int
}

// InScope reports whether the stated scope of the accreditation covers a
// quantity at a length in millimetres; stated is false where the certificate
// says nothing of the quantities covered.
func (c *Certificate) InScope(q Quantity, lengthMM float64) (covered, stated bool) {
	if len(c.Scope)+len(c.Ranges) == 0 {
		return false, false
	}
	ranged := false
	for i := range c.Ranges {
		if r := &c.Ranges[i]; r.Quantity == q {
			if r.Holds(lengthMM) {
				return true, true
			}
			ranged = true
		}
	}
	return !ranged && slices.Contains(c.Scope, q), true
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
