package trace

import (
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/figure"
)

// Chain is what a figure rests on.
type Chain struct {
	Steps []*Step // the first is what was asked about
	// Files are the files that records of the chain name, each once, in the order of the steps.
	Files []records.Attachment
}

// Kind is what a step of the chain is.
type Kind string

// The kinds of steps, from the figure to what it is traceable to.
const (
	Job         Kind = "job"
	Device      Kind = "device"
	Check       Kind = "check"
	Artifact    Kind = "artifact"
	Certificate Kind = "certificate"
	File        Kind = "file"       // that a certificate or a check names
	Laboratory  Kind = "laboratory" // with its accreditation
	Standard    Kind = "standard"   // that the laboratory used
	Reference   Kind = "reference"  // to which a certificate says it is traceable
)

// Step is one link of the chain.
type Step struct {
	Kind    Kind
	Name    string   // id, number or statement
	Words   []string // what the records say of it
	Figures []Figure
	Gaps    []Gap
	Below   []int // what it rests on, as indices in the chain
	Sources []rules.Source
}

// Figure is a figure that passes through a step.
type Figure struct {
	Of         string // feature, or quantity with its length
	Quantity   records.Quantity
	What       string        // "tolerance", "limit", "error" or "value"
	ValueUM    figure.Figure // in micrometres
	ExpandedUM figure.Figure // expanded uncertainty U in micrometres
	Factor     figure.Figure // coverage factor k of it
	Verdict    string        // of an error: the decision rule's, or "no evidence"
	Source     rules.Source
}

// Gap is something for want of which the chain does not hold at a step.
type Gap struct {
	Code     string // see [GapCodes]
	Sentence string
	Sources  []rules.Source
}

// Found is a gap with the step it is at.
type Found struct {
	Step int
	Gap  Gap
}

// Gaps lists all gaps in the order of the steps.
func (c *Chain) Gaps() []Found {
	var out []Found
	for i, s := range c.Steps {
		for _, g := range s.Gaps {
			out = append(out, Found{i, g})
		}
	}
	return out
}
