package drawing

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"time"
)

// Sizes of a terminal drawing, in lines and columns.
const (
	plotRows     = 16
	defaultWidth = 80
	leastWidth   = 40
	mostListed   = 20 // signals and marks told in words
)

// Terminal draws the chart of the values with ASCII signs, at most width
// columns wide (0 means 80, and less than 40 counts as 40), and tells below it
// in words the lines, the signals and the reservations. The moving ranges are
// told in words only. Titles, labels and texts of marks keep their letters. An
// error is returned for a picture that contradicts itself or from w.
func Terminal(w io.Writer, p Picture, width int) error {
	if err := p.check(); err != nil {
		return err
	}
	if width <= 0 {
		width = defaultWidth
	}
	width = max(width, leastWidth)
	values, err := newScale(p.Chart.Points, p.MPE)
	if err != nil {
		return err
	}
	p.Unit = cut(ascii(plain(p.Unit)), longestUnit, "~")
	p.Quantity = plain(p.Quantity)
	a := p.across()
	var out bytes.Buffer
	say := func(text string) {
		out.WriteString(strings.TrimRight(cut(text, width, "~"), " ") + "\n")
	}
	if title := plain(p.Title); title != "" {
		say(title)
	}
	if heading := strings.Trim(p.Quantity+", "+p.Unit, ", "); heading != "" {
		say(heading)
	}
	gutter := 0
	labels := map[int]string{}
	for _, t := range values.ticks(6) {
		labels[row(values.at(t.at))] = t.label
		gutter = max(gutter, len(t.label))
	}
	g := newGrid(width - gutter - 2)
	shared := g.paint(p, a, values)
	for i, line := range g.cells {
		sign := "|"
		if labels[i] != "" {
			sign = "+"
		}
		say(fmt.Sprintf("%*s %s%s", gutter, labels[i], sign, line))
	}
	axis, dates := g.axis(a)
	margin := strings.Repeat(" ", gutter+1)
	say(margin + "+" + axis)
	say(margin + " " + dates)
	if base := g.baselines(p.Chart.Segments, a); base != "" {
		say(margin + " " + base)
	}
	say("")
	for _, entry := range append(p.legend(values, shared), p.account(values)...) {
		for i, line := range wrap(entry, width-4) {
			if i > 0 {
				line = "    " + line
			}
			say(line)
		}
	}
	_, err = w.Write(out.Bytes())
	return err
}

// legend explains the signs in words.
func (p Picture) legend(s scale, shared int) []string {
	value := s.fine()
	c := p.Chart
	out := []string{"o point, X point that signals"}
	if shared > 0 {
		out[0] += fmt.Sprintf("; the %d points fill %d places, so one sign can stand for several", len(c.Points), len(c.Points)-shared)
	}
	first := max(0, len(c.Segments)-3)
	if first > 0 {
		out = append(out, fmt.Sprintf("--- centre, - - control limits; the last 3 of %d segments:", len(c.Segments)))
	}
	for i := first; i < len(c.Segments); i++ {
		segment := c.Segments[i]
		where := ""
		if len(c.Segments) > 1 {
			where = ", " + numbered(segment.First, segment.Last)
		}
		switch segment.Limits {
		case nil:
			out = append(out, "no limits"+where)
		default:
			l := segment.Limits
			text := fmt.Sprintf("--- centre %s, - - control limits %s and %s%s", joined(value(l.Centre), p.Unit),
				value(l.Lower), joined(value(l.Upper), p.Unit), where)
			if segment.Provisional {
				text += ", provisional"
			}
			if segment.Baseline > 0 {
				text += "; [-] baseline " + numbered(segment.First, segment.First+segment.Baseline-1)
			}
			out = append(out, text)
		}
	}
	if r := c.Current().Range; r != nil && len(c.Range) > 0 {
		out = append(out, fmt.Sprintf("moving range, not drawn: centre %s, upper limit %s", joined(value(r.Centre), p.Unit), joined(value(r.Upper), p.Unit)))
	}
	if p.MPE != nil {
		text := "= MPE +/-" + joined(bound(*p.MPE), p.Unit)
		if !s.mpe {
			text = "MPE +/-" + joined(bound(*p.MPE), p.Unit) + " lies beyond the drawing"
		}
		out = append(out, text)
	}
	for i, mark := range p.Marks {
		if i == mostListed {
			out = append(out, fmt.Sprintf("| and %d more", len(p.Marks)-i))
			break
		}
		out = append(out, "| "+p.markWhen(mark)+": "+plain(mark.Text))
	}
	return out
}

// account lists signals and reservations.
func (p Picture) account(s scale) []string {
	out := []string{p.summary()}
	found := p.findings(p.Chart.Points, s.fine(), "")
	found = append(found, p.findings(p.Chart.Range, s.fine(), "moving range ")...)
	for i, f := range found {
		if i == mostListed {
			out = append(out, fmt.Sprintf("X and %d more points that signal", len(found)-i))
			break
		}
		out = append(out, "X "+f)
	}
	for _, warning := range p.Chart.Warnings {
		out = append(out, "note: "+warning.Sentence)
	}
	return out
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

func row(at float64) int {
	return plotRows - 1 - int(math.Round(at*float64(plotRows-1)))
}
