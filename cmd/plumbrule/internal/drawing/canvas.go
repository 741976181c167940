package drawing

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
)

// canvas collects SVG elements.
type canvas struct{ bytes.Buffer }

// num prints a coordinate with two decimals, never as negative zero.
func num(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	if text == "-0.00" {
		return "0.00"
	}
	return text
}

// escape makes text safe between tags. It also takes out control characters and
// marks of reading direction, whatever its caller has done before.
func escape(text string) string {
	text = plain(text)
	if !strings.ContainsAny(text, `<>&'"`) {
		return text
	}
	var b strings.Builder
	// A strings.Builder never returns an error.
	_ = xml.EscapeText(&b, []byte(text))
	return b.String()
}

func (c *canvas) raw(parts ...string) {
	for _, part := range parts {
		c.WriteString(part)
	}
	c.WriteByte('\n')
}

// text writes a line of text; anchor is start, middle or end.
func (c *canvas) text(x, y float64, class, anchor, text string) {
	c.raw(`<text class="`, class, `" x="`, num(x), `" y="`, num(y), `" text-anchor="`, anchor, `">`, escape(text), `</text>`)
}

func (c *canvas) line(class string, x1, y1, x2, y2 float64) {
	c.raw(`<path class="`, class, `" d="M`, num(x1), ` `, num(y1), `L`, num(x2), ` `, num(y2), `"/>`)
}

func (c *canvas) rect(class string, x, y, width, height float64) {
	c.raw(`<rect class="`, class, `" x="`, num(x), `" y="`, num(y), `" width="`, num(width), `" height="`, num(height), `"/>`)
}

// dot draws an ordinary point, diamond one that signals; title is shown on
// pointing at it and may be empty. Size 1 is the common size.
func (c *canvas) dot(x, y, size float64, title string) {
	c.raw(`<circle class="point" cx="`, num(x), `" cy="`, num(y), `" r="`, num(3*size), `"`, titled(title, "circle"))
}

func (c *canvas) diamond(x, y, size float64, title string) {
	r := 6.5 * size
	c.raw(`<path class="signal" d="M`, num(x), ` `, num(y-r), `L`, num(x+r), ` `, num(y), `L`, num(x), ` `, num(y+r),
		`L`, num(x-r), ` `, num(y), `Z"`, titled(title, "path"))
}

// faint draws a single value behind an average.
func (c *canvas) faint(x, y, size float64) {
	c.raw(`<circle class="faint" cx="`, num(x), `" cy="`, num(y), `" r="`, num(2.5*size), `"/>`)
}

// ring goes around a point that is pointed out.
func (c *canvas) ring(x, y float64, title string) {
	c.raw(`<circle class="onset" cx="`, num(x), `" cy="`, num(y), `" r="7.50"`, titled(title, "circle"))
}

func titled(title, element string) string {
	if title == "" {
		return "/>"
	}
	return "><title>" + escape(title) + "</title></" + element + ">"
}

// extent estimates the width of a text in pixels at 11 pixels' size, rather
// too wide than too narrow since the reader's font is unknown.
func extent(text string) float64 {
	width := 0.0
	for _, r := range text {
		width += 6.3 * float64(columns(r))
	}
	return width
}
