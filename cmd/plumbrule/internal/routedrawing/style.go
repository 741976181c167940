package routedrawing

import (
	"fmt"
	"strings"
)

// palette is a set of colours. Meaning is carried by shape, dashes, thickness and words; each colour also differs from its
// ground in grey.
type palette struct{ ground, ink, quiet, faint, use, tied, worst, solid string }

// style returns the embedded style sheet, its rules scoped by the id of the drawing. Colours are written out because some
// programs that place SVG on paper know no CSS variables.
func style(id string) string {
	light := palette{"#ffffff", "#16181a", "#4d5358", "#aab3ba", "#1d5a8c", "#5b2a86", "#b0281a", "#7a6a50"}
	dark := palette{"#14171a", "#eceff1", "#b4bcc2", "#5a646c", "#7db8e8", "#c9a3ee", "#ff8f7d", "#b9a684"}
	var b strings.Builder
	rule := func(selector, body string) { fmt.Fprintf(&b, "#%s %s{%s}\n", id, selector, body) }
	rule("text", "font:11px system-ui,-apple-system,sans-serif;paint-order:stroke;stroke-width:3px;stroke-linejoin:round")
	rule(".title", "font-size:17px;font-weight:600")
	rule(".said", "font-size:13px")
	rule(".word", "font-weight:600")
	rule(".number", "font-size:10px;font-weight:600;stroke:none")
	rule(".extent", "fill:none;stroke-width:1;stroke-dasharray:1 3")
	rule(".unused", "fill:none;stroke-width:1")
	rule(".used", "fill:none;stroke-width:3;stroke-linecap:round")
	rule(".tied", "fill:none;stroke-width:3;stroke-dasharray:8 4")
	rule(".worst", "fill:none;stroke-width:9;stroke-linecap:round")
	rule(".between", "fill:none;stroke-width:5;stroke-linecap:round")
	rule(".centre", "fill:none;stroke-width:2")
	rule(".solid", "stroke-width:1.5")
	rule(".hatch", "fill:none;stroke-width:1")
	rule(".scale", "fill:none;stroke-width:2")
	rule(".spot,.bridge,.frame,.end", "stroke-width:1.5")
	colours(&b, id, light)
	b.WriteString("@media (prefers-color-scheme:dark){\n")
	colours(&b, id, dark)
	b.WriteString("}\n@media print{\n")
	colours(&b, id, light)
	b.WriteString("}\n")
	return b.String()
}

// colours writes the rules that depend on the palette.
func colours(b *strings.Builder, id string, p palette) {
	rule := func(selector, body string, args ...any) {
		fmt.Fprintf(b, "#%s %s{%s}\n", id, selector, fmt.Sprintf(body, args...))
	}
	rule(".ground", "fill:%s", p.ground)
	rule("text", "fill:%s;stroke:%s", p.ink, p.ground)
	rule(".quiet", "fill:%s", p.quiet)
	rule(".word", "fill:%s", p.worst)
	rule(".number", "fill:%s", p.ground)
	rule(".open", "fill:%s", p.ink)
	rule(".extent", "stroke:%s", p.quiet)
	rule(".unused", "stroke:%s", p.faint)
	rule(".used", "stroke:%s", p.use)
	rule(".tied", "stroke:%s", p.tied)
	rule(".worst", "stroke:%s", p.worst)
	rule(".between", "stroke:%s", p.ground)
	rule(".centre", "stroke:%s", p.ink)
	rule(".solid", "stroke:%s", p.solid)
	rule(".hatch", "stroke:%s", p.solid)
	rule(".scale", "stroke:%s", p.ink)
	rule(".spot", "fill:%s;stroke:%s", p.use, p.ground)
	rule(".bridge", "fill:%s;stroke:%s", p.ground, p.use)
	rule(".frame", "fill:%s;stroke:%s", p.ground, p.tied)
	rule(".end", "fill:%s;stroke:%s", p.worst, p.ground)
}
