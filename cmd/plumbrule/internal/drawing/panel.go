package drawing

import (
	"strings"

	"plumbrule/rules/chart"
)

// panel is one field of an SVG drawing with its own value axis.
type panel struct {
	heading                  string
	left, top, width, height float64
	points                   []chart.Point
	limits                   func(chart.Segment) *chart.Limits
	scale                    scale
	across                   across
	what                     string // put before a value in words
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
		if s.Baseline > 0 && f.limits(s) != nil {
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

// lines draws centre and limits of every segment, and the MPE.
func (f panel) lines(c *canvas, segments []chart.Segment, mpe *float64) {
	if f.scale.mpe {
		c.line("mpe", f.left, f.y(*mpe), f.right(), f.y(*mpe))
		c.line("mpe", f.left, f.y(-*mpe), f.right(), f.y(-*mpe))
	}
	for _, s := range segments {
		l := f.limits(s)
		if l == nil {
			continue
		}
		low, high := f.across.edges(s.First, s.Last)
		from, to := f.x(low), f.x(high)
		if s.First == 1 {
			from = f.left
		}
		if s.Last == len(f.across.points) {
			to = f.right()
		}
		c.line("limit", from, f.y(l.Upper), to, f.y(l.Upper))
		c.line("limit", from, f.y(l.Lower), to, f.y(l.Lower))
		c.line("centre", from, f.y(l.Centre), to, f.y(l.Centre))
	}
}

// crowd is the number of points above which their shapes are drawn smaller.
const crowd = 300

// plot draws the points, joined within a segment, and words beside those that
// signal. It returns how many were drawn.
func (f panel) plot(c *canvas, p Picture) int {
	chosen := thin(f.points, f.across, int(f.width))
	var path strings.Builder
	segment := -1
	for _, i := range chosen {
		point := f.points[i]
		step := "L"
		if point.Segment != segment {
			step, segment = "M", point.Segment
		}
		x, y := f.place(i)
		path.WriteString(step + num(x) + " " + num(y))
	}
	c.raw(`<path class="trace" d="`, path.String(), `"/>`)
	value := f.scale.fine()
	size := 1.0
	if len(chosen) > crowd {
		size = 0.6
	}
	words := newWords(f)
	for _, i := range chosen {
		words.avoid(f.place(i))
	}
	for _, signals := range []bool{false, true} { // signals on top
		for _, i := range chosen {
			point := f.points[i]
			if signalling(point) != signals {
				continue
			}
			x, y := f.place(i)
			title := p.told(point, value, f.what)
			if signals {
				c.diamond(x, y, size, title)
				words.beside(c, x, y, point.Signals)
			} else {
				c.dot(x, y, size, title)
			}
		}
	}
	return len(chosen)
}

func (f panel) place(i int) (x, y float64) {
	return f.x(f.across.points[f.points[i].N-1]), f.y(f.points[i].Value)
}
