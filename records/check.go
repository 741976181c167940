package records

import (
	"time"

	"plumbrule/records/quantity"
)

// Check is one intermediate check of a device against an artifact:
// checks/<device>/<yyyy>/<date>T<hhmm>-<procedure>.toml.
type Check struct {
	File string // its id is the path without folder "checks" and without suffix

	Device, Artifact, Procedure string
	Revision                    string // of the procedure, as followed
	Time, Entered               time.Time
	By                          string
	Unit                        string // of every reading
	Compensated                 bool   // readings are already those at 20 °C
	Purpose                     string // "", "as found", "as left", "acceptance"
	Conditions                  Conditions
	Readings                    []Reading
	Scans                       []ScanFile  // in the order in which they gave the readings' values
	Extraction                  *Extraction // nil: the readings were not fitted from the scans by a program that says how
	Fits                        []Fit
	Amends, Reason, Note        string
}

// Purposes of a check beside the routine one.
const (
	AsFoundCheck    = "as found"
	AsLeftCheck     = "as left"
	AcceptanceCheck = "acceptance"
)

// Conditions are the conditions of a check that its evaluation needs.
type Conditions struct {
	ArtifactTemperature    quantity.Temperature
	TemperatureUncertainty quantity.TemperatureUncertainty // of ArtifactTemperature
	Stated                 bool                            // ArtifactTemperature was given
	DullingSpray           quantity.Length                 // thickness of a matting layer on the spheres; zero: none
}

// given reports whether any of them is.
func (c *Conditions) given() bool {
	return c.Stated || !c.TemperatureUncertainty.IsZero() || !c.DullingSpray.IsZero()
}

// Reading is what the device indicated for one feature.
type Reading struct {
	Feature string
	Values  []float64 // in the check's unit, in the order taken
	Typed   []string  // Values as they were typed, so that writing keeps their digits; nil after loading
	Path    quantity.Length
	Detail  *ReadingDetail // nil: nothing further was noted
	Line    int
}

// ReadingDetail is what may be noted of a reading beside its values.
type ReadingDetail struct {
	Position string         // place in the measuring volume
	Attitude quantity.Angle // of the artifact to the horizontal
	Note     string
}

// UnitMM returns the check's unit in millimetres.
func (c *Check) UnitMM() float64 { return unitMM(c.Unit) }

// unitMM is the size in millimetres of a unit readings may be written in;
// units lists them.
func unitMM(unit string) float64 {
	switch unit {
	case "mm":
		return 1
	case "µm", "um":
		return 1e-3
	case "m":
		return 1e3
	case "in":
		return 25.4
	}
	return 0
}
