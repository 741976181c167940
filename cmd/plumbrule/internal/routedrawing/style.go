package routedrawing

import "plumbrule/cmd/plumbrule/internal/svgstyle"

// palette is a set of colours. Meaning is carried by shape, dashes, thickness and words; each colour also differs from its
// ground in grey.
type palette struct{ ground, ink, quiet, faint, use, tied, worst, solid string }

// style returns the style sheet of the drawing with this id.
func style(id string) string {
	light := palette{"#ffffff", "#16181a", "#4d5358", "#aab3ba", "#1d5a8c", "#5b2a86", "#b0281a", "#7a6a50"}
	dark := palette{"#14171a", "#eceff1", "#b4bcc2", "#5a646c", "#7db8e8", "#c9a3ee", "#ff8f7d", "#b9a684"}
	return svgstyle.Sheet(id, []svgstyle.Rule{
		{"text", "font:11px system-ui,-apple-system,sans-serif;paint-order:stroke;stroke-width:3px;stroke-linejoin:round"},
		{".title", "font-size:17px;font-weight:600"},
		{".said", "font-size:13px"},
		{".word", "font-weight:600"},
		{".number", "font-size:10px;font-weight:600;stroke:none"},
		{".extent", "fill:none;stroke-width:1;stroke-dasharray:1 3"},
		{".unused", "fill:none;stroke-width:1"},
		{".used", "fill:none;stroke-width:3;stroke-linecap:round"},
		{".tied", "fill:none;stroke-width:3;stroke-dasharray:8 4"},
		{".worst", "fill:none;stroke-width:9;stroke-linecap:round"},
		{".between", "fill:none;stroke-width:5;stroke-linecap:round"},
		{".centre", "fill:none;stroke-width:2"},
		{".solid", "stroke-width:1.5"},
		{".hatch", "fill:none;stroke-width:1"},
		{".scale", "fill:none;stroke-width:2"},
		{".spot,.bridge,.frame,.end", "stroke-width:1.5"},
	}, colours(light), colours(dark))
}

// colours are the rules that depend on the palette.
func colours(p palette) []svgstyle.Rule {
	return []svgstyle.Rule{
		{".ground", "fill:" + p.ground},
		{"text", "fill:" + p.ink + ";stroke:" + p.ground},
		{".quiet", "fill:" + p.quiet},
		{".word", "fill:" + p.worst},
		{".number", "fill:" + p.ground},
		{".open", "fill:" + p.ink},
		{".extent", "stroke:" + p.quiet},
		{".unused", "stroke:" + p.faint},
		{".used", "stroke:" + p.use},
		{".tied", "stroke:" + p.tied},
		{".worst", "stroke:" + p.worst},
		{".between", "stroke:" + p.ground},
		{".centre", "stroke:" + p.ink},
		{".solid", "stroke:" + p.solid},
		{".hatch", "stroke:" + p.solid},
		{".scale", "stroke:" + p.ink},
		{".spot", "fill:" + p.use + ";stroke:" + p.ground},
		{".bridge", "fill:" + p.ground + ";stroke:" + p.use},
		{".frame", "fill:" + p.ground + ";stroke:" + p.tied},
		{".end", "fill:" + p.worst + ";stroke:" + p.ground},
	}
}
