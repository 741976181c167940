package tracedrawing

import (
	"fmt"
	"strings"
)

// palette is a set of colours. Meaning is carried by shape, dashes and words; each colour also differs from its ground in grey.
type palette struct{ ground, box, ink, quiet, faint, link, gap string }

// palettes are the colours for light and for dark.
func palettes() (light, dark palette) {
	return palette{"#ffffff", "#f6f8f9", "#16181a", "#4d5358", "#858f96", "#1d5a8c", "#b0281a"},
		palette{"#14171a", "#1e2327", "#eceff1", "#b4bcc2", "#79848c", "#7db8e8", "#ff8f7d"}
}

// style returns the embedded style sheet, its rules scoped by the id of the drawing. Colours are written out because some
// programs that place SVG on paper know no CSS variables.
func style(id string) string {
	light, dark := palettes()
	var b strings.Builder
	rule := func(selector, body string) { fmt.Fprintf(&b, "#%s %s{%s}\n", id, selector, body) }
	rule("text", "font:11px system-ui,-apple-system,sans-serif")
	rule(".title", "font-size:17px;font-weight:600")
	rule(".said", "font-size:12px")
	rule(".name", "font-size:13px;font-weight:600")
	rule(".word", "font-weight:600")
	rule(".figure", "font-variant-numeric:tabular-nums")
	rule(".box", "stroke-width:1")
	rule(".gapped", "stroke-width:1.5;stroke-dasharray:6 3")
	rule(".again", "fill:none;stroke-width:1;stroke-dasharray:1 3")
	rule(".link", "fill:none;stroke-width:2")
	rule(".broken", "fill:none;stroke-width:2;stroke-dasharray:4 3")
	rule(".ground-line", "fill:none;stroke-width:8")
	rule(".cut", "fill:none;stroke-width:2;stroke-linecap:round")
	rule(".sign", "stroke-width:1.5")
	rule(".stroke", "fill:none;stroke-width:1.5;stroke-linecap:round;stroke-linejoin:round")
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
	rule("text", "fill:%s", p.ink)
	rule(".quiet,#"+id+" .kind", "fill:%s", p.quiet)
	rule(".word", "fill:%s", p.gap)
	rule(".box", "fill:%s;stroke:%s", p.box, p.faint)
	rule(".gapped", "stroke:%s", p.gap)
	rule(".again", "stroke:%s", p.faint)
	rule(".link", "stroke:%s", p.link)
	rule(".broken,#"+id+" .cut", "stroke:%s", p.gap)
	rule(".ground-line", "stroke:%s", p.ground)
	rule(".gap", "fill:%s", p.gap)
	rule(".sign", "fill:%s;stroke:%s", p.ground, p.link)
	rule(".stroke", "stroke:%s", p.link)
	rule(".dot", "fill:%s", p.link)
}
