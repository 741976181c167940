package routedrawing

import (
	"fmt"
	"slices"
)

// key explains the signs in rows of samples and returns the place below it.
func (p *Picture) key(c *canvas, prefix string, y float64) float64 {
	x := border
	sample := func(is bool, text string, draw func(at point)) {
		if !is {
			return
		}
		if x+34+extent(text) > pageWidth-border {
			x, y = border, y+22
		}
		draw(point{x + 14, y - 4})
		c.text(point{x + 34, y}, "", "start", text)
		x += 34 + extent(text) + 16
	}
	line := func(class string) func(point) {
		return func(at point) { c.lines(class, [][2]point{{{at.x - 13, at.y}, {at.x + 13, at.y}}}) }
	}
	kind := func(k Kind) bool {
		return slices.ContainsFunc(p.Spots, func(s Spot) bool { return s.Kind == k })
	}
	use := func(u Use) bool { return slices.ContainsFunc(p.Lines, func(l Line) bool { return l.Use == u }) }
	numbered := len(p.Spots) <= mostNumbered
	name := "volume"
	if numbered {
		name = "volume, numbered in the order of scanning"
	}
	sample(kind(Measured), name, func(at point) {
		c.circle("spot", "", at, 9)
		if numbered {
			c.text(point{at.x, at.y + 3.5}, "number", "middle", "1")
		}
	})
	sample(kind(Bridge), "bridge, or not scanned", func(at point) { c.circle("bridge", "", at, 9) })
	sample(kind(Frame), "frame", func(at point) { c.square("frame", at, 7) })
	sample(len(p.Worst) > 1, "end of the worst pair", func(at point) { c.diamond("end", at, 12) })
	sample(len(p.Worst) > 1, "its path", func(at point) { line("worst")(at); line("between")(at); line("used")(at) })
	sample(use(Used), "join in use", line("used"))
	sample(use(Tied), "frame in use", line("tied"))
	sample(use(Unused), "join not used", line("unused"))
	sample(p.Centre != nil, "centre", func(at point) { c.cross("centre", at, 3, 10) })
	sized := slices.ContainsFunc(p.Spots, func(s Spot) bool { return s.RadiusMM > 0 || s.SizeMM[0] > 0 })
	sample(sized && len(p.Spots) <= mostListed, "extent of a volume", func(at point) { c.circle("extent", "", at, 9) })
	sample(len(p.Solids) > 0, "obstacle", func(at point) {
		c.area("solid", ` fill="url(#`+prefix+`-hatch)"`, []point{{at.x - 13, at.y - 7}, {at.x + 13, at.y - 7}, {at.x + 13, at.y + 7}, {at.x - 13, at.y + 7}})
	})
	return y + 24
}

// notes are the sentences below the drawing.
func (p *Picture) notes(unnamed int) []string {
	out := slices.Clone(p.Notes)
	unused := 0
	for _, l := range p.Lines {
		if l.Use == Unused {
			unused++
		}
	}
	if unused > mostUnused {
		out = append(out, fmt.Sprintf("%d joins that are not used are not drawn.", unused))
	}
	if unnamed > 0 {
		out = append(out, fmt.Sprintf("There is no room for the names of %d volumes in a view.", unnamed))
	}
	if n := len(p.Spots); n > mostListed && n <= mostNumbered {
		out = append(out, "Where volumes cover each other, their numbers are left out.")
	}
	if len(p.Spots) > mostNumbered {
		out = append(out, fmt.Sprintf("Of %d volumes only the ends of the worst pair are told.", len(p.Spots)))
	}
	return out
}
