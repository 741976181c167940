package drawing

import (
	"strings"

	"plumbrule/rules/chart"
)

// panel is a field of an SVG drawing with its place.
type panel struct {
	field
	left, top, width, height float64
	across                   across
}

// x leaves a little room at both sides for the shapes of the outer points.
func (f panel) x(at float64) float64 { return f.left + 12 + f.across.at(at)*(f.width-24) }

func (f panel) y(v float64) float64 { return f.top + f.height*(1-f.scale.at(v)) }

func (f panel) right() float64  { return f.left + f.width }
func (f panel) bottom() float64 { return f.top + f.height }

// valueTicks returns the ticks of the value axis.
func (f panel) valueTicks() []tick { return f.scale.ticks(int(f.height / 35)) }

// ground draws baseline bands, grid, frame and value axis.
func (f panel) ground(c *canvas, segments []chart.Segment, dates []tick) {
	for _, s := range segments {
		if s.Baseline > 0 && s.Limits != nil {
			from, to := f.x(f.across.points[s.First-1])-7, f.x(f.across.points[s.First+s.Baseline-2])+7
			c.rect("band", from, f.top, to-from, f.height)
		}
	}
	for _, t := range dates {
		c.line("grid", f.x(t.at), f.top, f.x(t.at), f.bottom())
	}
	for _, t := range f.valueTicks() {
		c.line("grid", f.left, f.y(t.at), f.right(), f.y(t.at))
		c.text(f.left-7, f.y(t.at)+4, "quiet", "end", t.label)
	}
	c.rect("frame", f.left, f.top, f.width, f.height)
}

// lines draws centre and limits of every segment, and the MPE. Where limits
// follow the size of the sample or the age of the average they go in steps.
func (f panel) lines(c *canvas) {
	if f.scale.mpe {
		c.line("mpe", f.left, f.y(*f.mpe), f.right(), f.y(*f.mpe))
		c.line("mpe", f.left, f.y(-*f.mpe), f.right(), f.y(-*f.mpe))
	}
	for from := 0; from < len(f.pieces); {
		to := from + 1
		for to < len(f.pieces) && f.pieces[to].segment == f.pieces[from].segment {
			to++
		}
		for i, line := range f.pieces[from].lines {
			c.raw(`<path class="`, line.class, `" d="`, f.steps(f.pieces[from:to], i), `"/>`)
		}
		from = to
	}
}

// steps is the path of one line through the pieces of a segment. A piece that
// ends within half a pixel of the one before is left out.
func (f panel) steps(pieces []piece, line int) string {
	var path strings.Builder
	drawn := -1.0
	for i, one := range pieces {
		low, high, left, right := f.across.stretch(one)
		from, to := f.x(low), f.x(high)
		if left {
			from = f.left
		}
		if right {
			to = f.right()
		}
		if to-drawn < 0.5 && i < len(pieces)-1 {
			continue
		}
		step := "L"
		if drawn < 0 {
			step = "M"
		}
		y := num(f.y(one.lines[line].at))
		path.WriteString(step + num(from) + " " + y + "L" + num(to) + " " + y)
		drawn = to
	}
	return path.String()
}
