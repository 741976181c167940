// Package routedrawing draws how measuring volumes are joined, from above and from the side, as SVG. Nothing is computed
// here beyond places on the drawing.
package routedrawing

import (
	"fmt"

	"plumbrule/rules/route/space"
)

// Picture is what to draw.
type Picture struct {
	Title     string
	Sentences []string // below the title
	Spots     []Spot
	Lines     []Line
	Solids    []Solid
	Worst     []int    // spots along the worst path, from end to end; empty: none is pointed out
	Centre    *Centre  // nil: none is pointed out
	Notes     []string // below the drawing
}

// Kind says what a spot stands for.
type Kind int

// The kinds of spots.
const (
	Measured Kind = iota // a volume in which something is measured
	Bridge               // a volume that only joins others
	Frame                // an artifact or frame that ties volumes together
)

// Spot is a volume, or a frame drawn amid the volumes that it ties.
type Spot struct {
	Name     string
	At       space.Point
	Kind     Kind
	Order    int         // in which it is scanned, from 1; 0: it is not
	RadiusMM float64     // of the volume; 0: not stated
	SizeMM   space.Point // of the volume as a box; zero: not stated
}

// Use says what a line is for.
type Use int

// The uses of lines.
const (
	Unused Use = iota // a join that is possible and not used
	Used              // a join in use
	Tied              // a frame in use
)

// Line joins two spots.
type Line struct {
	From, To int
	Use      Use
}

// Solid is an obstacle.
type Solid struct {
	Name  string
	Shape space.Shape
}

// Centre is a place between two spots, or on the first where Share is 0.
type Centre struct {
	From, To int
	Share    float64 // of the way from the one to the other
}

// check refuses a picture that contradicts itself.
func (p *Picture) check() error {
	if len(p.Spots) == 0 {
		return fmt.Errorf("a drawing without volumes, expected one or more")
	}
	is := func(i int) bool { return i >= 0 && i < len(p.Spots) }
	for i, s := range p.Spots {
		if !s.At.Good() || !s.SizeMM.Good() || !(s.RadiusMM >= 0 && s.RadiusMM <= space.Largest) {
			return fmt.Errorf("spot %d lies at %v, expected three numbers", i+1, s.At)
		}
	}
	for i, l := range p.Lines {
		if !is(l.From) || !is(l.To) {
			return fmt.Errorf("line %d joins spots %d and %d, expected two of %d", i+1, l.From+1, l.To+1, len(p.Spots))
		}
	}
	for i, s := range p.Solids {
		if err := s.Shape.Check(); err != nil {
			return fmt.Errorf("solid %d: %w", i+1, err)
		}
	}
	for _, w := range p.Worst {
		if !is(w) {
			return fmt.Errorf("the worst path leads over spot %d, expected one of %d", w+1, len(p.Spots))
		}
	}
	if c := p.Centre; c != nil && (!is(c.From) || !is(c.To) || !(c.Share >= 0 && c.Share <= 1)) {
		return fmt.Errorf("the centre lies at a share of %g between spots %d and %d, expected 0 to 1 between two of %d", c.Share, c.From+1, c.To+1, len(p.Spots))
	}
	return nil
}
