package tracedrawing

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// canvas collects SVG elements.
type canvas struct{ bytes.Buffer }

// point is a place on the drawing in pixels.
type point struct{ x, y float64 }

// num prints a coordinate with at most two decimals, never as negative zero.
func num(v float64) string {
	text := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 2, 64), ".00")
	if text == "-0" {
		return "0"
	}
	return text
}

// escape makes text safe between tags; what cannot be seen is spelled out.
func escape(text string) string {
	var b strings.Builder
	// A strings.Builder never returns an error.
	_ = xml.EscapeText(&b, []byte(show.Text(text)))
	return b.String()
}

func (c *canvas) raw(parts ...string) {
	for _, part := range parts {
		c.WriteString(part)
	}
	c.WriteByte('\n')
}

// text writes a line of text; anchor is start, middle or end.
func (c *canvas) text(at point, class, anchor, text string) {
	c.raw(`<text class="`, class, `" x="`, num(at.x), `" y="`, num(at.y), `" text-anchor="`, anchor, `">`, escape(text), `</text>`)
}

// line draws straight pieces from point to point.
func (c *canvas) line(class string, through ...point) {
	c.path(class, through, "")
}

// area draws a closed outline.
func (c *canvas) area(class string, corners ...point) {
	c.path(class, corners, "Z")
}

func (c *canvas) path(class string, points []point, end string) {
	c.WriteString(`<path class="` + class + `" d="`)
	for i, p := range points {
		sign := "L"
		if i == 0 {
			sign = "M"
		}
		c.WriteString(sign + num(p.x) + " " + num(p.y))
	}
	c.raw(end, `"/>`)
}

func (c *canvas) box(class string, left, top, width, height float64) {
	c.raw(`<rect class="`, class, `" x="`, num(left), `" y="`, num(top), `" width="`, num(width), `" height="`, num(height), `" rx="4"/>`)
}

func (c *canvas) circle(class string, at point, radius float64) {
	c.raw(`<circle class="`, class, `" cx="`, num(at.x), `" cy="`, num(at.y), `" r="`, num(radius), `"/>`)
}

// diamond is drawn where a gap is.
func (c *canvas) diamond(class string, at point, radius float64) {
	c.area(class, point{at.x, at.y - radius}, point{at.x + radius, at.y}, point{at.x, at.y + radius}, point{at.x - radius, at.y})
}

// letter is how wide a letter of 11 pixels' size is taken to be, rather too wide than too narrow since the reader's font is
// unknown.
const letter = 6.3

// bold is how much wider bold letters are than others.
const bold = 1.18

// lines breaks foreign text to a width in pixels at a size of letters, wide letters counted twice. A word that is too long is
// broken, not cut: nothing is lost.
func lines(text string, width, size float64) []string {
	return show.Lines(show.Text(text), int(width/(letter*size/11)))
}
