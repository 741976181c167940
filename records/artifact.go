package records

import (
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Artifact is a calibrated object that devices are checked with:
// artifacts/<id>.toml. Its reference values are those of its certificates.
type Artifact struct {
	ID, File string

	Kind, Maker, Serial  string
	InService            calendar.Date
	Material             string
	Expansion            quantity.Expansion
	ExpansionUncertainty quantity.ExpansionUncertainty // of Expansion
	Calibration          CalibrationPlan
	Features             []Feature

	Entered  time.Time
	By, Note string
}

// Feature is one thing of an artifact that can be measured.
type Feature struct {
	Name     string
	Quantity Quantity
	Nominal  quantity.Length
	Between  []string // the two features a distance lies between
	Of       string   // the sphere a form deviation belongs to

	// Expansion of the feature where it is another than the artifact's, as that
	// of ceramic spheres on a steel bar; zero: the artifact's.
	Expansion            quantity.Expansion
	ExpansionUncertainty quantity.ExpansionUncertainty
	Line                 int
}

// Feature returns the feature of that name, or nil.
func (a *Artifact) Feature(name string) *Feature {
	for i := range a.Features {
		if a.Features[i].Name == name {
			return &a.Features[i]
		}
	}
	return nil
}

// ExpansionOf returns the relative thermal expansion that holds for a feature
// and its uncertainty: the feature's own where it states one, the artifact's
// otherwise.
func (a *Artifact) ExpansionOf(f *Feature) (quantity.Expansion, quantity.ExpansionUncertainty) {
	if f.Expansion.IsZero() {
		return a.Expansion, a.ExpansionUncertainty
	}
	return f.Expansion, f.ExpansionUncertainty
}
