// Package tracedrawing draws a chain of traceability as SVG: from the figure at the top to what it is traceable to, each step
// further in than what rests on it. Nothing is computed here beyond places on the drawing.
package tracedrawing

import (
	"fmt"
	"slices"
)

// Picture is what to draw.
type Picture struct {
	Title     string
	Sentences []string // below the title
	Steps     []Step   // the first stands at the top
}

// Kind chooses the sign of a step.
type Kind string

// The kinds that have a sign of their own; every other kind has a square.
const (
	Device      Kind = "device"
	Check       Kind = "check"
	Artifact    Kind = "artifact"
	Certificate Kind = "certificate"
	File        Kind = "file"
	Laboratory  Kind = "laboratory"
	Standard    Kind = "standard"
	Reference   Kind = "reference"
)

// Step is one link of the chain.
type Step struct {
	Kind    Kind
	Name    string
	Words   []string
	Figures []Figure
	Gaps    []Gap
	Below   []int // steps that it rests on
}

// Figure is a figure with its uncertainty in a column of its own.
type Figure struct{ Text, Uncertainty string }

// Gap is told by its number, a diamond and its words.
type Gap struct {
	Number int
	Words  string
}

// check refuses a picture that contradicts itself.
func (p *Picture) check() error {
	if len(p.Steps) == 0 {
		return fmt.Errorf("a drawing without steps, expected one or more")
	}
	for i, s := range p.Steps {
		for _, b := range s.Below {
			if b < 0 || b >= len(p.Steps) {
				return fmt.Errorf("step %d rests on step %d, expected one of %d", i+1, b+1, len(p.Steps))
			}
		}
	}
	return nil
}

// holds tells whether every step has no gap.
func (p *Picture) holds() bool {
	return !slices.ContainsFunc(p.Steps, func(s Step) bool { return len(s.Gaps) > 0 })
}
