package residuals

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// prefix makes ids and styles of the drawing its own where it is put into a page.
const prefix = "residuals"

// SVG draws a scene as one SVG element of 900 pixels' width, or half of that for a single sphere. It follows the reader's
// choice of light or dark and is black on white on paper; it holds no scripts and needs no fonts but the reader's. The same
// scene gives the same bytes. An error is returned for a scene that contradicts itself, with figures that are none, or from
// w; nothing has been written then but in the last case.
func SVG(w io.Writer, s *Scene) error {
	if err := s.check(); err != nil {
		return err
	}
	l := s.draw()
	var c bytes.Buffer
	fmt.Fprintf(&c, `<svg xmlns="http://www.w3.org/2000/svg" id="%s" viewBox="0 0 %[2]s %[3]s" width="%[2]s" height="%[3]s" `+
		`style="max-width:100%%;height:auto" role="img" aria-labelledby="%[1]s-title %[1]s-desc">`+"\n", prefix, num(l.width), num(l.height))
	fmt.Fprintf(&c, "<title id=\"%s-title\">%s</title>\n", prefix, escape(s.heading()))
	fmt.Fprintf(&c, "<desc id=\"%s-desc\">%s</desc>\n", prefix, escape(s.description()))
	fmt.Fprintf(&c, "<style>\n%s</style>\n", style())
	for _, m := range l.marks {
		element(&c, m)
	}
	c.WriteString("</svg>\n")
	_, err := w.Write(c.Bytes())
	return err
}

// num prints a coordinate with at most two decimals, never as negative zero.
func num(v float64) string {
	text := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 2, 64), ".00")
	if text == "-0" {
		return "0"
	}
	return text
}

// escape makes text safe between tags.
func escape(text string) string {
	var b strings.Builder
	// A strings.Builder never returns an error.
	_ = xml.EscapeText(&b, []byte(plain(text)))
	return b.String()
}

// element writes one mark as one element.
func element(c *bytes.Buffer, m mark) {
	switch m := m.(type) {
	case boxes:
		fmt.Fprintf(c, `<path class="%s" d="`, m.role)
		for _, b := range m.at {
			fmt.Fprintf(c, "M%s %sh%sv%sh%sz", num(b.x), num(b.y), num(b.width), num(b.height), num(-b.width))
		}
		c.WriteString("\"/>\n")
	case strokes:
		fmt.Fprintf(c, `<path class="%s" d="`, m.role)
		for _, s := range m.at {
			fmt.Fprintf(c, "M%s %sL%s %s", num(s.x1), num(s.y1), num(s.x2), num(s.y2))
		}
		c.WriteString("\"/>\n")
	case circle:
		fmt.Fprintf(c, "<circle class=\"%s\" cx=\"%s\" cy=\"%s\" r=\"%s\"/>\n", m.role, num(m.x), num(m.y), num(m.r))
	case label:
		fmt.Fprintf(c, "<text class=\"%s\" x=\"%s\" y=\"%s\" text-anchor=\"%s\">%s</text>\n", m.role, num(m.x), num(m.y), m.anchor, escape(m.text))
	}
}

// style returns the style sheet, its rules scoped by the drawing's id. Colours are written out because some programs that
// place SVG on paper know no CSS variables.
func style() string {
	var b strings.Builder
	fmt.Fprintf(&b, "#%s text{font:11px system-ui,-apple-system,sans-serif}\n", prefix)
	for _, k := range looks() {
		body := ""
		if k.size != 0 && k.size != 11 {
			body += fmt.Sprintf("font-size:%spx;", num(k.size))
		}
		if k.bold {
			body += "font-weight:600;"
		}
		if k.halo {
			body += "paint-order:stroke;stroke-width:3px;stroke-linejoin:round;"
		}
		if k.stroke != inkNone {
			body += fmt.Sprintf("stroke-width:%s;", num(k.width))
			if k.fill == inkNone {
				body += "fill:none;"
			}
		}
		if k.fill != inkNone && k.stroke == inkNone && k.size == 0 {
			body += "shape-rendering:crispEdges;" // no seams between cells
		}
		if body != "" {
			fmt.Fprintf(&b, "#%s .%s{%s}\n", prefix, k.role, strings.TrimSuffix(body, ";"))
		}
	}
	colours(&b, light())
	b.WriteString("@media (prefers-color-scheme:dark){\n")
	colours(&b, dark())
	b.WriteString("}\n@media print{\n")
	colours(&b, onPaper())
	b.WriteString("}\n")
	return b.String()
}

// colours writes the rules that depend on the palette.
func colours(b *strings.Builder, p palette) {
	for _, k := range looks() {
		body := ""
		if k.fill != inkNone {
			body += fmt.Sprintf("fill:#%06x;", p[k.fill])
		}
		switch {
		case k.stroke != inkNone:
			body += fmt.Sprintf("stroke:#%06x;", p[k.stroke])
		case k.halo:
			body += fmt.Sprintf("stroke:#%06x;", p[inkPaper])
		}
		fmt.Fprintf(b, "#%s .%s{%s}\n", prefix, k.role, strings.TrimSuffix(body, ";"))
	}
}
