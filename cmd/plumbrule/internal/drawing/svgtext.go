package drawing

import (
	"fmt"
	"slices"
	"unicode"
	"unicode/utf8"

	"plumbrule/rules/chart"
)

// drawMarks draws events as upright lines through all panels, each with its
// text at the head.
func (p Picture) drawMarks(c *canvas, tags flags, xs []float64, first, last panel) {
	for i, x := range xs {
		head := first.top - 20
		if row := tags.rows[i]; row >= 0 {
			y := first.top - 24 - rowHeight*float64(row)
			head = y - 9
			if b := tags.box(i, x, pageWidth-border); b.left < x {
				c.text(x-5, y, "", "end", tags.texts[i])
			} else {
				c.text(x+5, y, "", "start", tags.texts[i])
			}
		}
		c.line("mark", x, head, x, last.bottom())
	}
}

// baselineNames writes "baseline" under each band that is wide enough, and tells whether there is one.
func (p Picture) baselineNames(c *canvas, f panel) (named bool) {
	for _, s := range p.Chart.Segments {
		if s.Baseline == 0 || s.Limits == nil {
			continue
		}
		text := "baseline"
		if s.Provisional {
			text += ", provisional"
		}
		from, to := f.x(f.across.points[s.First-1])-7, f.x(f.across.points[s.First+s.Baseline-2])+7
		if to-from > extent(text) {
			c.text((from+to)/2, f.bottom()+14, "quiet", "middle", text)
			named = true
		}
	}
	return named
}

// key explains shapes and dashes in a row of samples and returns the place
// below it.
func (p Picture) key(c *canvas, panels []panel, y float64) float64 {
	x := border
	sample := func(text string, draw func(x, y float64)) {
		if x+34+extent(text) > pageWidth-border {
			x, y = border, y+18
		}
		draw(x, y-4)
		c.text(x+32, y, "", "start", text)
		x += 32 + extent(text) + 16
	}
	line := func(class string) func(x, y float64) {
		return func(x, y float64) { c.line(class, x, y, x+26, y) }
	}
	names := p.names()
	sample(names.point, func(x, y float64) { c.dot(x+16, y, 1, "") })
	if names.faint != "" {
		sample(names.faint, func(x, y float64) { c.faint(x+16, y, 1) })
	}
	sample(names.signal+", with test", func(x, y float64) { c.diamond(x+16, y, 1, "") })
	if len(panels[0].onsets) > 0 {
		sample("likely onset, where the sum left 0", func(x, y float64) { c.ring(x+16, y, "") })
	}
	if hasLimits(p) {
		sample(names.centre, line("centre"))
		sample(names.limits, line("limit"))
	}
	if slices.ContainsFunc(panels, func(f panel) bool { return f.scale.mpe }) {
		sample("MPE", line("mpe"))
	}
	if len(p.Marks) > 0 {
		sample("event", func(x, y float64) { c.line("mark", x+16, y-7, x+16, y+7) })
	}
	if hasBaseline(p) {
		sample("baseline", func(x, y float64) { c.rect("band", x+4, y-6, 22, 12) })
	}
	return y + 20
}

func hasLimits(p Picture) bool {
	for _, s := range p.Chart.Segments {
		if s.Limits != nil {
			return true
		}
	}
	return false
}

func hasBaseline(p Picture) bool {
	for _, s := range p.Chart.Segments {
		if s.Limits != nil && s.Baseline > 0 {
			return true
		}
	}
	return false
}

// notes are the sentences below the drawing.
func (p Picture) notes(panels []panel, drawn int, key []string) []string {
	var out []string
	if n := len(p.Chart.Points); drawn < n {
		out = append(out, fmt.Sprintf("%d of %d points are drawn: the lowest, the highest, the last and the first that signals of each pixel's width.", drawn, n))
	}
	for _, f := range panels {
		if f.mpe != nil && !f.scale.mpe {
			out = append(out, "MPE ±"+joined(bound(*p.MPE), p.Unit)+" lies beyond the drawing.")
		}
	}
	for i, o := range panels[0].onsets {
		if i == mostListed {
			out = append(out, fmt.Sprintf("And %d more onsets.", len(panels[0].onsets)-i))
			break
		}
		out = append(out, sentence(o.words(p)))
	}
	for _, text := range slices.Concat(p.Steps(), p.gapWords(), p.Remarks) {
		out = append(out, sentence(plain(text)))
	}
	for _, warning := range p.Chart.Warnings {
		out = append(out, "Note: "+warning.Sentence+".")
	}
	return append(out, key...)
}

// sentence gives a text the form of one.
func sentence(text string) string {
	r, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[size:] + "."
}

func (p Picture) heading() string {
	if title := plain(p.Title); title != "" {
		return title
	}
	return "Control chart"
}

// description is what a reader who cannot see the drawing is told.
func (p Picture) description() string {
	n := len(p.Chart.Points)
	text := "Control chart of " + p.names().chart + ", " + p.when(0)
	if n > 1 {
		text += " to " + p.when(n-1)
	}
	text += ": " + p.summary() + "."
	fields, err := p.fields()
	l := p.Chart.Current().Limits
	if err != nil || l == nil {
		return text + " No control limits."
	}
	value, names := fields[0].scale.fine(), p.names()
	if p.Chart.Kind == chart.KindCUSUM {
		return text + " " + sentence(names.limits+" of both sums "+joined(value(l.Upper), p.Unit))
	}
	return text + " " + sentence(fmt.Sprintf("%s %s, %s %s and %s", names.centre, joined(value(l.Centre), p.Unit), names.limits, value(l.Lower),
		joined(value(l.Upper), p.Unit)))
}
