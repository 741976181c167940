package records

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Job is work delivered on the strength of a device's measurements:
// jobs/<yyyy>/<id>.toml.
type Job struct {
	ID, File string

	Title, Customer string // the customer's reference
	Devices         []string
	Begin, End      calendar.Date
	Measured        []JobFeature
	// CheckedBefore and CheckedAfter name the checks of its devices between which
	// it was measured: dates alone do not tell what of a day came first.
	CheckedBefore, CheckedAfter []string

	Entered          time.Time
	By, Note, Amends string
	Reason           string
}

// JobFeature is the most demanding thing of its quantity measured in a job.
type JobFeature struct {
	Quantity  Quantity
	Tolerance quantity.Length // full width of the tolerance zone
	Length    quantity.Length // longest straight length
	Path      quantity.Length // longest path travelled; zero: not stated
	Line      int
}
