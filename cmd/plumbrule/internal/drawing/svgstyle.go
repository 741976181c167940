package drawing

import (
	"fmt"
	"strings"
)

// palette is a set of colours. Meaning is carried by shape, dashes and words;
// each colour also differs from its ground in grey.
type palette struct {
	ground, ink, quiet, grid, band, point, signal, limit, mpe, mark string
}

// style returns the embedded style sheet, its rules scoped by the id of the
// drawing so that several drawings fit on one page. Colours are written out
// because some programs that place SVG on paper know no CSS variables.
func style(id string) string {
	light := palette{"#ffffff", "#16181a", "#4d5358", "#d2d8dc", "#e6ebf0", "#1d5a8c", "#b0281a", "#7a4a00", "#5b2a86", "#4d5358"}
	dark := palette{"#14171a", "#eceff1", "#b4bcc2", "#3a4249", "#232a31", "#7db8e8", "#ff8f7d", "#e3b15c", "#c9a3ee", "#b4bcc2"}
	var b strings.Builder
	rule := func(selector, body string) { fmt.Fprintf(&b, "#%s %s{%s}\n", id, selector, body) }
	rule("text", "font:11px system-ui,-apple-system,sans-serif;paint-order:stroke;stroke-width:3px;stroke-linejoin:round")
	rule(".title", "font-size:17px;font-weight:600")
	rule(".summary", "font-size:13px")
	rule(".word", "font-weight:600")
	rule(".trace", "fill:none;stroke-width:1")
	rule(".grid,.frame", "fill:none;stroke-width:1")
	rule(".centre", "fill:none;stroke-width:1.5")
	rule(".limit", "fill:none;stroke-width:1.5;stroke-dasharray:7 4")
	rule(".mpe", "fill:none;stroke-width:2;stroke-dasharray:12 3 2 3")
	rule(".mark", "fill:none;stroke-width:1.5;stroke-dasharray:2 3")
	rule(".signal", "stroke-width:1.5")
	rule(".faint", "fill:none;stroke-width:1")
	rule(".onset", "fill:none;stroke-width:2")
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
	rule(".word", "fill:%s", p.signal)
	rule(".grid", "stroke:%s", p.grid)
	rule(".frame", "stroke:%s", p.quiet)
	rule(".band", "fill:%s", p.band)
	rule(".trace", "stroke:%s", p.quiet)
	rule(".point", "fill:%s", p.point)
	rule(".signal", "fill:%s;stroke:%s", p.signal, p.ink)
	rule(".faint", "stroke:%s", p.quiet)
	rule(".onset", "stroke:%s", p.signal)
	rule(".centre", "stroke:%s", p.ink)
	rule(".limit", "stroke:%s", p.limit)
	rule(".mpe", "stroke:%s", p.mpe)
	rule(".mark", "stroke:%s", p.mark)
}
