package drawing

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Sizes of an SVG drawing in pixels.
const (
	pageWidth   = 900.0
	border      = 14.0
	mainHeight  = 280.0
	rangeHeight = 110.0
	rowHeight   = 15.0
)

// SVG draws a chart as one SVG element of 900 by about 600 pixels, for a page of
// its own or inside HTML: below the values their dispersion, below cumulative
// sums the values. The line through points is broken where a gap in time lies
// between them. Prefix makes its
// ids and styles unique on a page: a letter followed by letters, digits, - and
// _. Signals are told by shape and word, lines by dashes and word. Of more than
// 1500 points it draws the extremes of each pixel's width, and says so. An error
// is returned for a picture that contradicts itself or from w.
func SVG(w io.Writer, p Picture, prefix string) error {
	if err := p.check(); err != nil {
		return err
	}
	if !regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`).MatchString(prefix) {
		return fmt.Errorf("a prefix of %q; expected a letter, then letters, digits, - and _", prefix)
	}
	p.Unit = cut(plain(p.Unit), longestUnit, "…")
	p.Quantity = cut(plain(p.Quantity), 80, "…")
	panels, labels, err := p.panels()
	if err != nil {
		return err
	}
	main := panels[0]
	xs := make([]float64, len(p.Marks))
	for i, at := range main.across.marks {
		xs[i] = main.x(at)
	}
	tags := newFlags(p, xs, pageWidth-border)
	down := 74 + rowHeight*float64(tags.count)
	for i := range panels {
		panels[i].top += down
	}
	for i := range labels {
		for j := range labels[i] {
			labels[i][j].y += down
		}
	}
	main, last := panels[0], panels[len(panels)-1]

	var c canvas
	gaps, _ := p.gaps()
	dates := main.across.ticks(max(1, int(main.width/95)))
	for _, f := range panels {
		f.ground(&c, p.Chart.Segments, dates)
		f.lines(&c)
	}
	p.drawMarks(&c, tags, xs, main, last)
	drawn := 0
	for i, f := range panels {
		count := f.plot(&c, p, gaps)
		if i == 0 {
			drawn = count
		}
		c.text(f.left, f.top-7, "quiet", "start", f.heading)
		for _, label := range labels[i] {
			c.text(f.right()+7, label.y+4, "", "start", label.text)
		}
	}
	y := last.bottom() + 17
	if p.baselineNames(&c, main) && len(panels) == 1 {
		y += rowHeight // the dates stand below the names then
	}
	for _, t := range dates {
		c.text(min(max(last.x(t.at), last.left+extent(t.label)/2), last.right()-extent(t.label)/2), y, "quiet", "middle", t.label)
	}
	y += 17
	c.text(last.left+last.width/2, y, "quiet", "middle", main.across.caption())
	y = p.key(&c, panels, y+24)
	for _, note := range p.notes(panels, drawn, tags.key) {
		for _, line := range wrap(note, 140) {
			c.text(border, y, "quiet", "start", line)
			y += rowHeight
		}
	}
	return p.page(w, &c, prefix, y)
}

// page writes head and foot around the drawn elements.
func (p Picture) page(w io.Writer, body *canvas, prefix string, height float64) error {
	var c canvas
	c.raw(`<svg xmlns="http://www.w3.org/2000/svg" id="`, prefix, `" viewBox="0 0 `, num(pageWidth), ` `, num(height), `" width="`,
		num(pageWidth), `" height="`, num(height), `" style="max-width:100%;height:auto" role="img" aria-labelledby="`, prefix, `-title `, prefix, `-desc">`)
	title := p.heading()
	c.raw(`<title id="`, prefix, `-title">`, escape(title), `</title>`)
	c.raw(`<desc id="`, prefix, `-desc">`, escape(p.description()), `</desc>`)
	c.raw(`<style>`)
	c.raw(strings.TrimSuffix(style(prefix), "\n"))
	c.raw(`</style>`)
	c.rect("ground", 0, 0, pageWidth, height)
	c.text(border, 26, "title", "start", cut(title, 85, "…"))
	c.text(border, 46, "summary", "start", p.summary())
	c.Write(body.Bytes())
	c.raw(`</svg>`)
	_, err := w.Write(c.Bytes())
	return err
}

// panels lays out the panels below each other, the first with its top at 0.
func (p Picture) panels() ([]panel, [][]sideLabel, error) {
	fields, err := p.fields()
	if err != nil {
		return nil, nil, err
	}
	a := p.across()
	panels := make([]panel, len(fields))
	labels := make([][]sideLabel, len(fields))
	left, right, top := 30.0, 40.0, 0.0
	for i := range fields {
		f := panel{field: fields[i], top: top, height: mainHeight, across: a}
		if f.small {
			f.height = rangeHeight
		}
		top += f.height + 48
		for _, t := range f.valueTicks() {
			left = max(left, extent(t.label)+12)
		}
		labels[i] = f.sideLabels(p.Unit)
		for _, label := range labels[i] {
			right = max(right, extent(label.text)+12)
		}
		panels[i] = f
	}
	for i := range panels {
		panels[i].left = border + left
		panels[i].width = pageWidth - 2*border - left - right
	}
	return panels, labels, nil
}

func axisName(name, otherwise, unit string) string {
	if name == "" {
		name = otherwise
	}
	if unit == "" {
		return name
	}
	return name + " in " + unit
}

// caption names the horizontal axis.
func (a across) caption() string {
	if a.base.IsZero() {
		return "point number"
	}
	// The place, not the abbreviation, which changes with summer time.
	if zone := a.base.Location().String(); zone != "" && zone != "Local" {
		return "date (" + zone + ")"
	}
	return "date"
}
