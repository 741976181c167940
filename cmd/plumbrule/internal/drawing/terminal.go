package drawing

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"plumbrule/rules/chart"
)

// Sizes of a terminal drawing, in lines and columns.
const (
	plotRows     = 16
	smallRows    = 7
	defaultWidth = 80
	leastWidth   = 40
	mostListed   = 20 // signals and marks told in words
)

// Terminal draws a chart with ASCII signs, at most width columns wide (0 means
// 80, and less than 40 counts as 40), and tells below it in words the lines, the
// signals and the reservations. Moving ranges are told in words only; ranges and
// standard deviations of samples, and the values below cumulative sums, have a
// panel. Titles, labels and texts of marks keep their letters. An error is
// returned for a picture that contradicts itself or from w.
func Terminal(w io.Writer, p Picture, width int) error {
	if err := p.check(); err != nil {
		return err
	}
	if width <= 0 {
		width = defaultWidth
	}
	p.Unit = cut(ascii(plain(p.Unit)), longestUnit, "~")
	p.Quantity = plain(p.Quantity)
	fields, err := p.fields()
	if err != nil {
		return err
	}
	s := screen{width: max(width, leastWidth), across: p.across()}
	if title := plain(p.Title); title != "" {
		s.say(title)
	}
	drawn := slices.DeleteFunc(slices.Clone(fields), func(f field) bool { return f.worded })
	for _, f := range drawn {
		for _, t := range f.ticks() {
			s.gutter = max(s.gutter, len(t.label))
		}
	}
	shared := 0
	for i, f := range drawn {
		heading := f.heading
		if i == 0 && p.Chart.Kind == chart.KindIndividuals {
			heading = strings.Trim(p.Quantity+", "+p.Unit, ", ")
		}
		if heading != "" {
			s.say(heading)
		}
		shared += s.draw(f)
	}
	s.foot(p.Chart.Segments)
	s.say("")
	for _, entry := range append(p.legend(fields, shared), p.account(fields)...) {
		for i, line := range wrap(plain(entry), s.width-4) {
			if i > 0 {
				line = "    " + line
			}
			s.say(line)
		}
	}
	_, err = w.Write(s.out.Bytes())
	return err
}

// screen collects the lines of a terminal drawing.
type screen struct {
	out           bytes.Buffer
	width, gutter int
	across        across
}

func (s *screen) say(text string) {
	s.out.WriteString(strings.TrimRight(cut(text, s.width, "~"), " ") + "\n")
}

func (f field) rows() int {
	if f.small {
		return smallRows
	}
	return plotRows
}

func (f field) ticks() []tick { return f.scale.ticks(f.rows() * 3 / 8) }

// draw draws a panel, its value axis to the left, and returns how many signs
// share the place of another.
func (s *screen) draw(f field) (shared int) {
	g := newGrid(s.width-s.gutter-2, f.rows())
	labels := map[int]string{}
	for _, t := range f.ticks() {
		labels[g.row(f.scale.at(t.at))] = t.label
	}
	shared = g.paint(f, s.across)
	for i, line := range g.cells {
		sign := "|"
		if labels[i] != "" {
			sign = "+"
		}
		s.say(fmt.Sprintf("%*s %s%s", s.gutter, labels[i], sign, line))
	}
	return shared
}

// foot draws the horizontal axis below the panels, and the baselines.
func (s *screen) foot(segments []chart.Segment) {
	g := newGrid(s.width-s.gutter-2, 0)
	axis, dates := g.axis(s.across)
	margin := strings.Repeat(" ", s.gutter+1)
	s.say(margin + "+" + axis)
	s.say(margin + " " + dates)
	if base := g.baselines(segments, s.across); base != "" {
		s.say(margin + " " + base)
	}
}

func numbered(first, last int) string {
	if first == last {
		return fmt.Sprintf("point %d", first)
	}
	return fmt.Sprintf("points %d to %d", first, last)
}

// markWhen tells where a mark stands.
func (p Picture) markWhen(mark Mark) string {
	switch {
	case !mark.When.IsZero():
		return mark.When.Format(time.DateOnly)
	case mark.Before < len(p.Chart.Points):
		return "before " + p.pointName(mark.Before)
	}
	return "after " + p.pointName(len(p.Chart.Points)-1)
}

func (p Picture) pointName(i int) string {
	if p.dated() {
		return "the point of " + p.when(i)
	}
	return p.when(i)
}
