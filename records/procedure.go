package records

import (
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

	Entered  time.Time
	By, Note string
}

// ProcedureFeature is one feature the procedure asks to be measured.
type ProcedureFeature struct {
	Name     string
	Quantity Quantity // the quantity judged; empty: that of the artifact's feature
	Repeats  int      // readings asked; 0: at least one
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

// Feature returns what the procedure says of the feature, or nil.
func (p *Procedure) Feature(name string) *ProcedureFeature {
	for i := range p.Features {
		if p.Features[i].Name == name {
			return &p.Features[i]
		}
	}
	return nil
}
