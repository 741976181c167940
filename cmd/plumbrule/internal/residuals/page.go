package residuals

import (
	"fmt"
	"math"
)

// Sizes of the page in pixels.
const (
	margin     = 14.0
	panelWidth = 429.0 // two of them fill the 900 pixels of the house's charts
	lineHeight = 15.0
)

// What bounds the drawing, whatever the scene.
const (
	mostPanels    = 24
	mostDistances = 24
	mostWarnings  = 20
	mostCrosses   = 150 // of one sphere
)

// draw lays the page out.
func (s *Scene) draw() *list {
	columns := min(len(s.Spheres), 2)
	l := &list{width: margin + float64(columns)*(panelWidth+margin)}
	inner := l.width - 2*margin
	l.box(ground, 0, 0, l.width, 0) // its height is known at the end

	y := margin
	for _, line := range wrap(s.Title, inner*11/17, 2) {
		l.text(title, margin, y+12, atStart, line)
		y += 22
	}
	if y == margin {
		l.text(title, margin, y+12, atStart, s.heading())
		y += 22
	}
	for _, line := range wrap(s.Subtitle, inner*11/13, 3) {
		l.text(summary, margin, y+10, atStart, line)
		y += 18
	}
	y = math.Ceil(y + 10)

	view := newView(s)
	panels := s.Spheres[:min(len(s.Spheres), mostPanels)]
	for len(panels) > 0 {
		tallest := 0.0
		row := panels[:min(len(panels), columns)]
		panels = panels[len(row):]
		for i := range row {
			x := margin + float64(i)*(panelWidth+margin)
			tallest = max(tallest, row[i].draw(l, x, y, view))
		}
		y += tallest + 18
	}
	if len(s.Spheres) > 1 {
		y += view.draw(l, s, margin, y, inner) + 18
	}
	y += s.notes(l, margin, y, inner)
	l.height = math.Ceil(y + margin - lineHeight/2)
	l.marks[0] = boxes{ground, []box{{0, 0, l.width, l.height}}}
	return l
}

// notes writes warnings, how to read the maps and the footer, and returns their height.
func (s *Scene) notes(l *list, x, top, width float64) float64 {
	y := top
	write := func(r role, indent, text string, most int) {
		for _, line := range wrap(text, width-extent(indent), most) {
			l.text(r, x+extent(indent), y+10, atStart, line)
			y += lineHeight
		}
	}
	if len(s.Warnings) > 0 {
		l.text(warning, x, y+10, atStart, counted(len(s.Warnings), "warning"))
		y += lineHeight + 2
	}
	for i, w := range s.Warnings {
		if i == mostWarnings {
			write(common, "  ", fmt.Sprintf("And %s.", counted(len(s.Warnings)-i, "more warning")), 1)
			break
		}
		l.text(warning, x+2, y+10, atStart, "!")
		write(common, "  ", w, 6)
	}
	if y > top {
		y += 8
	}
	if more := len(s.Spheres) - mostPanels; more > 0 {
		write(common, "", "Not shown: "+counted(more, "more sphere")+".", 1)
	}
	write(quiet, "", s.reading(), 6)
	if plain(s.Footer) != "" {
		y += 6
		write(quiet, "", s.Footer, 12)
	}
	return y - top
}

// reading tells how to read the maps.
func (s *Scene) reading() string {
	return "How to read: a map shows a cap from outside, equal areas of the sphere as equal areas, with circles every 30° from the cap's middle. " +
		"The colour of a cell is the mean residual of its points, positive outside the sphere; + and - stand on means of 1 s and more. " +
		"A cell without a colour has no points. A cross is a rejected point. " +
		"Beside the colours: how many points have which residual."
}
