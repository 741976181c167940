package routedrawing

import (
	"math"
	"slices"
)

// box is a rectangle on the drawing.
type box struct{ left, top, width, height float64 }

func (b box) meets(other box) bool {
	return b.left < other.left+other.width && other.left < b.left+b.width && b.top < other.top+other.height && other.top < b.top+b.height
}

// crossed tells whether a line passes through the box.
func (b box) crossed(line [2]point) bool {
	from, to := 0.0, 1.0
	clip := func(start, step, least, most float64) {
		if step == 0 {
			if start <= least || start >= most {
				to = -1
			}
			return
		}
		a, c := (least-start)/step, (most-start)/step
		from, to = max(from, min(a, c)), min(to, max(a, c))
	}
	clip(line[0].x, line[1].x-line[0].x, b.left, b.left+b.width)
	clip(line[0].y, line[1].y-line[0].y, b.top, b.top+b.height)
	return from < to
}

// spotFor is a place that a label may have: where its text begins, ends or has its middle.
type spotFor struct {
	dx, dy float64
	anchor string
}

// besideSpot are the places beside a volume, the best first.
func besideSpot() []spotFor {
	return []spotFor{
		{14, 4, "start"},
		{-14, 4, "end"},
		{0, 24, "middle"},
		{0, -16, "middle"},
		{12, 18, "start"},
		{12, -10, "start"},
		{-12, 18, "end"},
		{-12, -10, "end"},
		{24, 4, "start"},
		{-24, 4, "end"},
		{0, 36, "middle"},
		{0, -26, "middle"},
	}
}

// onSolid are the places on an obstacle of a height.
func onSolid(height float64) []spotFor {
	return []spotFor{{0, 4, "middle"}, {0, height/4 + 4, "middle"}, {0, -height/4 + 4, "middle"}, {0, height/2 + 14, "middle"}, {0, -height/2 - 6, "middle"}}
}

// label is a text that wants a place.
type label struct {
	at     point
	words  string
	class  string
	places []spotFor
	spots  int // volumes that it names
}

// drawLabels writes names and words where they cover no sign and no other text, and cross as few lines as can be. It returns
// how many volumes are not named for want of room.
func (v *view) drawLabels(c *canvas, p *Picture, groups []group, ends map[Use][][2]point, worst [][2]point) (unnamed int) {
	var taken []box
	if len(p.Spots) <= mostNumbered {
		for _, g := range groups {
			taken = append(taken, box{g.at.x - 10, g.at.y - 10, 20, 20})
		}
	}
	if p.Centre != nil {
		at := v.at(p.centre())
		taken = append(taken, box{at.x - 20, at.y - 2, 40, 4}, box{at.x - 2, at.y - 20, 4, 40})
	}
	thick := slices.Concat(ends[Used], ends[Tied], worst)
	for _, l := range v.labels(p, groups) {
		best, least := -1, math.Inf(1)
		for i, s := range l.places {
			b := boxOf(point{l.at.x + s.dx, l.at.y + s.dy}, s.anchor, extent(l.words))
			if b.left < 2 || b.left+b.width > pageWidth-2 || slices.ContainsFunc(taken, b.meets) {
				continue
			}
			crossings := 0.0
			for _, line := range thick {
				if b.crossed(line) {
					crossings += 2
				}
			}
			for _, line := range ends[Unused][:min(len(ends[Unused]), mostUnused)] {
				if b.crossed(line) {
					crossings++
				}
			}
			if crossings < least {
				best, least = i, crossings
			}
		}
		if best < 0 {
			unnamed += l.spots
			continue
		}
		s := l.places[best]
		at := point{l.at.x + s.dx, l.at.y + s.dy}
		taken = append(taken, boxOf(at, s.anchor, extent(l.words)))
		c.text(at, l.class, s.anchor, l.words)
	}
	return unnamed
}

// labels lists what is to be written: the worst pair and the centre, obstacles, then volumes in the order of scanning.
func (v *view) labels(p *Picture, groups []group) (out []label) {
	var rest []label
	for _, g := range groups {
		words, class := p.words(g)
		if words == "" {
			continue
		}
		l := label{at: g.at, words: words, class: class, places: besideSpot(), spots: len(g.spots)}
		if class != "" {
			out = append(out, l)
		} else {
			rest = append(rest, l)
		}
	}
	if p.Centre != nil && p.Centre.Share > 0 {
		out = append(out, label{at: v.at(p.centre()), words: "centre", places: []spotFor{{0, -22, "middle"}, {0, 32, "middle"}, {22, 4, "start"}, {-22, 4, "end"}}})
	}
	for _, s := range p.Solids {
		least, most := s.Shape.Bounds()
		a, b := v.at(least), v.at(most)
		out = append(out, label{at: point{(a.x + b.x) / 2, (a.y + b.y) / 2}, words: cut(plain(s.Name), 30), places: onSolid(a.y - b.y)})
	}
	return append(out, rest...)
}

func boxOf(at point, anchor string, width float64) box {
	left := at.x
	switch anchor {
	case "end":
		left -= width
	case "middle":
		left -= width / 2
	}
	return box{left, at.y - 10, width, 13}
}
