package records

import (
	"strings"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
)

// Procedure says how a check is done and judged: procedures/<id>.toml.
type Procedure struct {
	ID, File string

	Title, Revision string
	ArtifactKind    string
	DecisionRule    string // empty: the site's
	RuleLine        int
	Agreed          calendar.Date // when the rule was agreed (ISO/IEC 17025:2017, 7.1.3)
	Features        []ProcedureFeature
	Chart           ChartSettings
	Uncertainties   []DeclaredUncertainty
	Extraction      ExtractionSettings

	Entered  time.Time
	By, Note string
}

// ProcedureFeature is one feature the procedure asks to be measured.
type ProcedureFeature struct {
	Name     string
	Quantity Quantity // the quantity judged; empty: that of the artifact's feature
	Repeats  int      // readings asked; 0: at least one
	Test     string   // test profile it is judged as; see package rules/conformity for the profiles
	TestLine int
	Line     int
}

// DeclaredUncertainty is a contribution to the uncertainty of the test value
// that the procedure declares: fixing, alignment, drift in the hold.
type DeclaredUncertainty struct {
	Name     string
	Quantity Quantity // empty: for every quantity
	Value    quantity.LengthUncertainty
	Line     int
}

// Names of contributions that take the place of what the fits of a check state
// of their own uncertainty: the fit itself, and the scatter of repeated
// readings, of which that of a fit is a part.
const (
	FitContribution           = "fit of the spheres"
	RepeatabilityContribution = "repeatability"
)

// DeclaresFit reports whether a declared contribution to that quantity takes
// the place of what the fits of a check state, and which.
func (p *Procedure) DeclaresFit(q Quantity) *DeclaredUncertainty {
	for i := range p.Uncertainties {
		u := &p.Uncertainties[i]
		if (u.Quantity == "" || u.Quantity == q) && (strings.EqualFold(u.Name, FitContribution) || strings.EqualFold(u.Name, RepeatabilityContribution)) {
			return u
		}
	}
	return nil
}

// Feature returns what the procedure says of the feature, or nil.
func (p *Procedure) Feature(name string) *ProcedureFeature {
	for i := range p.Features {
		if p.Features[i].Name == name {
			return &p.Features[i]
		}
	}
	return nil
}
