package tracedrawing

import (
	"fmt"
	"strings"
)

// Sizes in pixels.
const (
	pageWidth = 900.0
	border    = 14.0
	indent    = 34.0
	trunk     = 12.0  // where the line down to what a box rests on begins, from its left edge
	mostDepth = 12    // further in a step does not move
	column    = 178.0 // of the uncertainties, on the right
	inside    = 10.0  // between the edge of a box and its text
	headRow   = 20.0
	row       = 15.0
	apart     = 10.0
)

// mostFigures is how many figures of one step are drawn.
const mostFigures = 24

// textLine is one line inside a box.
type textLine struct {
	class, text string
	right       string // in the column of uncertainties
	gap         bool   // a gap begins here: a diamond stands before it
}

// box is a step, or a mention of one that stands above, with its place.
type box struct {
	step              int
	again             bool // stands above already
	left, top, height float64
	parent            int // index of its box; -1: none
	head              []string
	lines             []textLine
	broken            bool
}

// boxes lays the steps out below each other, each once.
func (p *Picture) boxes(top float64) (out []box, bottom float64) {
	drawn := make([]bool, len(p.Steps))
	y := top
	var place func(step, parent, depth int)
	place = func(step, parent, depth int) {
		b := box{step: step, parent: parent, left: border + indent*float64(min(depth, mostDepth)), top: y, again: drawn[step]}
		p.fill(&b)
		b.height = inside + headRow*float64(len(b.head)) + row*float64(len(b.lines)) + inside/2
		y += b.height + apart
		own := len(out)
		out = append(out, b)
		if b.again {
			return
		}
		drawn[step] = true
		for _, below := range p.Steps[step].Below {
			place(below, own, depth+1)
		}
	}
	place(0, -1, 0)
	return out, y
}

// fill breaks the words of a step to the width of its box.
func (p *Picture) fill(b *box) {
	s := &p.Steps[b.step]
	width := pageWidth - border - b.left - 2*inside
	name := s.Name
	if b.again {
		name += " (see above)"
	}
	b.head = lines(name, width-headStart, 13*bold)
	b.broken = len(s.Gaps) > 0
	if b.again {
		return
	}
	if len(s.Words) > 0 {
		for _, text := range lines(strings.Join(s.Words, "; "), width, 11) {
			b.lines = append(b.lines, textLine{class: "quiet", text: text})
		}
	}
	for i, f := range s.Figures {
		if i == mostFigures {
			b.lines = append(b.lines, textLine{class: "quiet", text: fmt.Sprintf("and %d figures more", len(s.Figures)-i)})
			break
		}
		b.figure(f, width)
	}
	for _, g := range s.Gaps {
		for i, text := range lines(fmt.Sprintf("GAP %d: %s", g.Number, g.Words), width-gapStart, 11*bold) {
			b.lines = append(b.lines, textLine{class: "word", text: text, gap: i == 0})
		}
	}
}

// figure writes a figure, its uncertainty beside it, or below it where that is long.
func (b *box) figure(f Figure, width float64) {
	beside := lines(f.Uncertainty, column, 11)
	for i, text := range lines(f.Text, width-column-inside, 11) {
		l := textLine{class: "figure", text: text}
		if i == 0 && len(beside) == 1 {
			l.right = beside[0]
		}
		b.lines = append(b.lines, l)
	}
	if len(beside) > 1 {
		for _, text := range lines(f.Uncertainty, width, 11) {
			b.lines = append(b.lines, textLine{class: "figure", text: text})
		}
	}
}
