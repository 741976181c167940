package records

import (
	"math"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Device is one measuring device: devices/<id>.toml. Firmware, location and
// owner are those of the day it came into service; later ones are events.
type Device struct {
	ID, File string

	Kind, Maker, Model, Serial string
	InService                  calendar.Date
	Owner, Location, Firmware  string
	Scale                      Scale
	Calibration                CalibrationPlan
	Checks                     []RequiredCheck
	Limits                     []Limit

	Entered  time.Time
	By, Note string
}

// Scale says whether the device measures against a material scale that
// expands with the temperature, and by how much (ISO 1: lengths are those at
// 20 °C).
type Scale struct {
	Material  bool               // false: an optical device without a material scale
	Expansion quantity.Expansion // zero when Material is false
}

// CalibrationPlan says how often an object is calibrated, or why it is not.
type CalibrationPlan struct {
	NotRequired string // reason why no calibration is required; empty: it is
	Interval    quantity.Interval
	Lead        quantity.Interval // the laboratory's lead time; zero: the site's
	Line        int
}

// RequiredCheck is an intermediate check a device must pass at intervals
// (ISO/IEC 17025:2017, 6.4.10).
type RequiredCheck struct {
	Procedure string
	Interval  quantity.Interval
	Line      int
}

// Limit is the maximum permissible error (MPE) of one quantity, as the data
// sheet or the shop states it (VIM 4.26).
type Limit struct {
	Quantity Quantity
	MPE      quantity.MPE
	Length   string          // what the L of the MPE is: "path", "straight", or "" for a constant
	Over     quantity.Length // the limit holds for lengths above this; zero: from 0
	UpTo     quantity.Length // and up to this one, included; zero: no upper end
	Line     int
}

// What the L of an MPE can be.
const (
	PathLength     = "path"
	StraightLength = "straight"
)

// CountsPath reports whether the limit grows with the path travelled.
func (l *Limit) CountsPath() bool { return l.Length == PathLength && l.MPE.GrowsWithLength() }

// Range returns the straight lengths in millimetres the limit holds for: over
// the first, up to the second, which may be +Inf.
func (l *Limit) Range() (overMM, upToMM float64) {
	upToMM = math.Inf(1)
	if !l.Over.IsZero() {
		overMM = l.Over.Millimetres()
	}
	if !l.UpTo.IsZero() {
		upToMM = l.UpTo.Millimetres()
	}
	return overMM, upToMM
}

// Covers reports whether the limit holds for a feature of the given straight
// length in millimetres, above zero.
func (l *Limit) Covers(q Quantity, lengthMM float64) bool {
	over, upTo := l.Range()
	return l.Quantity == q && lengthMM > over && lengthMM <= upTo
}

// LimitFor returns the first limit that covers the quantity at that length, or
// nil.
func (d *Device) LimitFor(q Quantity, lengthMM float64) *Limit {
	for i := range d.Limits {
		if d.Limits[i].Covers(q, lengthMM) {
			return &d.Limits[i]
		}
	}
	return nil
}
