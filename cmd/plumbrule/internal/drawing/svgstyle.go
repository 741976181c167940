package drawing

import "plumbrule/cmd/plumbrule/internal/svgstyle"

// palette is a set of colours. Meaning is carried by shape, dashes and words;
// each colour also differs from its ground in grey.
type palette struct {
	ground, ink, quiet, grid, band, point, signal, limit, mpe, mark string
}

// style returns the style sheet of the drawing with this id.
func style(id string) string {
	light := palette{"#ffffff", "#16181a", "#4d5358", "#d2d8dc", "#e6ebf0", "#1d5a8c", "#b0281a", "#7a4a00", "#5b2a86", "#4d5358"}
	dark := palette{"#14171a", "#eceff1", "#b4bcc2", "#3a4249", "#232a31", "#7db8e8", "#ff8f7d", "#e3b15c", "#c9a3ee", "#b4bcc2"}
	return svgstyle.Sheet(id, []svgstyle.Rule{
		{"text", "font:11px system-ui,-apple-system,sans-serif;paint-order:stroke;stroke-width:3px;stroke-linejoin:round"},
		{".title", "font-size:17px;font-weight:600"},
		{".summary", "font-size:13px"},
		{".word", "font-weight:600"},
		{".trace", "fill:none;stroke-width:1"},
		{".grid,.frame", "fill:none;stroke-width:1"},
		{".centre", "fill:none;stroke-width:1.5"},
		{".limit", "fill:none;stroke-width:1.5;stroke-dasharray:7 4"},
		{".mpe", "fill:none;stroke-width:2;stroke-dasharray:12 3 2 3"},
		{".mark", "fill:none;stroke-width:1.5;stroke-dasharray:2 3"},
		{".signal", "stroke-width:1.5"},
		{".faint", "fill:none;stroke-width:1"},
		{".onset", "fill:none;stroke-width:2"},
	}, colours(light), colours(dark))
}

// colours are the rules that depend on the palette.
func colours(p palette) []svgstyle.Rule {
	return []svgstyle.Rule{
		{".ground", "fill:" + p.ground},
		{"text", "fill:" + p.ink + ";stroke:" + p.ground},
		{".quiet", "fill:" + p.quiet},
		{".word", "fill:" + p.signal},
		{".grid", "stroke:" + p.grid},
		{".frame", "stroke:" + p.quiet},
		{".band", "fill:" + p.band},
		{".trace", "stroke:" + p.quiet},
		{".point", "fill:" + p.point},
		{".signal", "fill:" + p.signal + ";stroke:" + p.ink},
		{".faint", "stroke:" + p.quiet},
		{".onset", "stroke:" + p.signal},
		{".centre", "stroke:" + p.ink},
		{".limit", "stroke:" + p.limit},
		{".mpe", "stroke:" + p.mpe},
		{".mark", "stroke:" + p.mark},
	}
}
