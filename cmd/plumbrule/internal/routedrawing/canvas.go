package routedrawing

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
	"unicode"
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

// plain makes foreign text safe for one line: whatever is not printable becomes a blank.
func plain(text string) string {
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text)), " ")
}

// escape makes text safe between tags.
func escape(text string) string {
	var b strings.Builder
	// A strings.Builder never returns an error.
	_ = xml.EscapeText(&b, []byte(plain(text)))
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

// lines writes many lines as one element.
func (c *canvas) lines(class string, ends [][2]point) {
	if len(ends) == 0 {
		return
	}
	c.WriteString(`<path class="` + class + `" d="`)
	for _, e := range ends {
		c.WriteString("M" + num(e[0].x) + " " + num(e[0].y) + "L" + num(e[1].x) + " " + num(e[1].y))
	}
	c.raw(`"/>`)
}

// area writes a closed outline; extra is more attributes, or empty.
func (c *canvas) area(class, extra string, corners []point) {
	c.WriteString(`<path class="` + class + `"` + extra + ` d="`)
	for i, p := range corners {
		sign := "L"
		if i == 0 {
			sign = "M"
		}
		c.WriteString(sign + num(p.x) + " " + num(p.y))
	}
	c.raw(`Z"/>`)
}

func (c *canvas) circle(class, extra string, at point, radius float64) {
	c.raw(`<circle class="`, class, `"`, extra, ` cx="`, num(at.x), `" cy="`, num(at.y), `" r="`, num(radius), `"/>`)
}

// diamond is drawn where something is pointed out.
func (c *canvas) diamond(class string, at point, radius float64) {
	c.area(class, "", []point{{at.x, at.y - radius}, {at.x + radius, at.y}, {at.x, at.y + radius}, {at.x - radius, at.y}})
}

func (c *canvas) square(class string, at point, radius float64) {
	c.area(class, "", []point{{at.x - radius, at.y - radius}, {at.x + radius, at.y - radius}, {at.x + radius, at.y + radius}, {at.x - radius, at.y + radius}})
}

// cross marks a place with four strokes around it.
func (c *canvas) cross(class string, at point, inner, outer float64) {
	c.lines(class, [][2]point{
		{{at.x - outer, at.y}, {at.x - inner, at.y}},
		{{at.x + inner, at.y}, {at.x + outer, at.y}},
		{{at.x, at.y - outer}, {at.x, at.y - inner}},
		{{at.x, at.y + inner}, {at.x, at.y + outer}},
	})
}

// extent estimates the width of a text in pixels at 11 pixels' size, rather too wide than too narrow since the reader's font
// is unknown. Letters of East Asian scripts and pictographs count twice.
func extent(text string) float64 {
	width := 0.0
	for _, r := range text {
		width += 6.3
		if r >= 0x1100 && (r <= 0x115f || r >= 0x2e80 && r <= 0xd7a3 || r >= 0xf900 && r <= 0xfaff || r >= 0xfe30 && r <= 0xff60 || r >= 0x1f300) {
			width += 6.3
		}
	}
	return width
}

// cut shortens a text to a number of letters.
func cut(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return strings.TrimRight(string(runes[:most-1]), " ") + "…"
}

// wrap breaks a text into lines of at most so many letters.
func wrap(text string, width int) (out []string) {
	line := ""
	for word := range strings.FieldsSeq(plain(text)) {
		word = cut(word, width)
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}
