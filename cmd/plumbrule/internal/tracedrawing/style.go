package tracedrawing

import "plumbrule/cmd/plumbrule/internal/svgstyle"

// palette is a set of colours. Meaning is carried by shape, dashes and words; each colour also differs from its ground in grey.
type palette struct{ ground, box, ink, quiet, faint, link, gap string }

// palettes are the colours for light and for dark.
func palettes() (light, dark palette) {
	return palette{"#ffffff", "#f6f8f9", "#16181a", "#4d5358", "#858f96", "#1d5a8c", "#b0281a"},
		palette{"#14171a", "#1e2327", "#eceff1", "#b4bcc2", "#79848c", "#7db8e8", "#ff8f7d"}
}

// style returns the style sheet of the drawing with this id.
func style(id string) string {
	light, dark := palettes()
	return svgstyle.Sheet(id, []svgstyle.Rule{
		{"text", "font:11px system-ui,-apple-system,sans-serif"},
		{".title", "font-size:17px;font-weight:600"},
		{".said", "font-size:12px"},
		{".name", "font-size:13px;font-weight:600"},
		{".word", "font-weight:600"},
		{".figure", "font-variant-numeric:tabular-nums"},
		{".box", "stroke-width:1"},
		{".gapped", "stroke-width:1.5;stroke-dasharray:6 3"},
		{".again", "fill:none;stroke-width:1;stroke-dasharray:1 3"},
		{".link", "fill:none;stroke-width:2"},
		{".broken", "fill:none;stroke-width:2;stroke-dasharray:4 3"},
		{".ground-line", "fill:none;stroke-width:8"},
		{".cut", "fill:none;stroke-width:2;stroke-linecap:round"},
		{".sign", "stroke-width:1.5"},
		{".stroke", "fill:none;stroke-width:1.5;stroke-linecap:round;stroke-linejoin:round"},
	}, colours(light), colours(dark))
}

// colours are the rules that depend on the palette.
func colours(p palette) []svgstyle.Rule {
	return []svgstyle.Rule{
		{".ground", "fill:" + p.ground},
		{"text", "fill:" + p.ink},
		{".quiet,.kind", "fill:" + p.quiet},
		{".word", "fill:" + p.gap},
		{".box", "fill:" + p.box + ";stroke:" + p.faint},
		{".gapped", "stroke:" + p.gap},
		{".again", "stroke:" + p.faint},
		{".link", "stroke:" + p.link},
		{".broken,.cut", "stroke:" + p.gap},
		{".ground-line", "stroke:" + p.ground},
		{".gap", "fill:" + p.gap},
		{".sign", "fill:" + p.ground + ";stroke:" + p.link},
		{".stroke", "stroke:" + p.link},
		{".dot", "fill:" + p.link},
	}
}
