package residuals

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// draw lays out the panel of one sphere and returns its height.
func (s *Sphere) draw(l *list, x, top float64, v *view) float64 {
	head := "Sphere " + cut(s.Name, nameWidth)
	l.text(heading, x, top+12, atStart, head)
	l.text(heading, x+panelWidth, top+12, atEnd, cut(s.Verdict, (panelWidth-extent(head)*13/11)*11/13-12))
	l.line(rule, x, top+19.5, x+panelWidth, top+19.5)

	f, named := newFrame(s.Axis, v.toward())
	c := newCap(s, f)
	mapTop := top + 32
	drawn := c.draw(l, s.SDUM, x, mapTop)
	s.legend(l, x, mapTop)

	y := mapTop + mapSize + 18
	where := fmt.Sprintf("to the right: the scan's %c", "xyz"[max(named, 0)])
	if named < 0 {
		where = "to the right: from " + cut(v.from, nameWidth) + " to " + cut(v.to, nameWidth)
	}
	l.text(quiet, x+mapSize/2, y, atMiddle, where)
	y += 24

	kept, rejected := s.count()
	share := ""
	if rejected > 0 {
		share = " (" + show.Fixed(100*float64(rejected)/float64(kept+rejected), 2) + " %)"
	}
	for i, line := range []struct{ name, value string }{
		{"diameter", show.LengthMM(2*s.RadiusMM) + " mm"},
		{"kept", counted(kept, "point")},
		{"s", um(s.SDUM, s.SDUM)},
		{"rejected", counted(rejected, "point") + share},
		{"form", um(s.FormUM, s.SDUM)},
		{"coverage", show.Fixed(s.CoveragePercent, 1) + " %, half-angle " + show.Fixed(s.HalfAngleDegrees, 1) + "°"},
	} {
		left, down := x+215*float64(i%2), y+16*float64(i/2)
		l.text(quiet, left, down, atStart, line.name)
		l.text(common, left+62, down, atStart, line.value)
	}
	y += 2*16 + 4
	if text := c.undrawn(drawn); text != "" {
		y += 16
		l.text(quiet, x, y, atStart, text)
	}
	return y - top
}

// undrawn says which rejected points have no cross.
func (c *seenCap) undrawn(drawn int) string {
	var out []string
	if thinned := len(c.rejected) - drawn; thinned > 0 {
		out = append(out, "not drawn: "+grouped(thinned))
	}
	if c.beyond > 0 {
		out = append(out, "beyond the map: "+grouped(c.beyond))
	}
	if len(out) == 0 {
		return ""
	}
	return "rejected points " + strings.Join(out, "; ")
}

// draw paints the map with its upper left corner at x, y, and returns how many crosses it has.
func (c *seenCap) draw(l *list, sdUM, x, y float64) int {
	middleX, middleY := x+mapSize/2, y+mapSize/2
	c.colours(l, sdUM, x, y)
	// A ring of paper takes off what stands over the rim of the cells that lie across it: at most their diagonal.
	l.circle(mask, middleX, middleY, mapSize/2+maskWidth/2)
	radius := func(degrees float64) float64 { return mapSize / 2 * reach(degrees) / reach(c.limit) }
	for degree := 30.0; degree < c.limit; degree += 30 {
		l.circle(circles, middleX, middleY, radius(degree))
	}
	var meridians []stroke
	for k := range 4 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 4)
		out, in := mapSize/2, -mapSize/2
		meridians = append(meridians, stroke{middleX + in*cos, middleY + in*sin, middleX + out*cos, middleY + out*sin})
	}
	l.strokes(circles, meridians)
	l.circle(rim, middleX, middleY, mapSize/2)
	right := x + mapSize
	l.strokes(pointer, []stroke{{right + 3, middleY, right + 13, middleY}, {right + 8, middleY - 4, right + 13, middleY}, {right + 8, middleY + 4, right + 13, middleY}})

	drawn := c.crosses(l, x, y)
	for degree := 30.0; degree <= c.limit; degree += 30 {
		if degree < c.limit && radius(c.limit)-radius(degree) < lineHeight {
			continue // it would stand on the rim's
		}
		// Below the middle on the left, off the meridians; the last one inside the rim.
		r, sin, cos := radius(degree), math.Sin(0.36*math.Pi), math.Cos(0.36*math.Pi)
		l.text(degrees, middleX-r*cos, middleY+r*sin+3.5, atMiddle, show.Fixed(degree, 0)+"°")
	}
	return drawn
}

// colours paints the cells, those of one colour in a row as one box, and the signs on those that stand out.
func (c *seenCap) colours(l *list, sdUM, x, y float64) {
	var cells [2*classes + 1][]box
	var signs [2][]stroke // on medium and on strong colours
	for row := range grid {
		last := 0
		for column := range grid {
			k := row*grid + column
			if c.count[k] == 0 {
				last = 0
				continue
			}
			left, up := x+cellSize*float64(column), y+cellSize*float64(row)
			n := class(c.mean[k], sdUM)
			of := &cells[n+classes]
			if n == last {
				(*of)[len(*of)-1].width += cellSize
			} else {
				*of = append(*of, box{left, up, cellSize, cellSize})
			}
			last = n
			if on := signed(n); on >= 0 {
				signs[on] = append(signs[on], sign(n, left+cellSize/2, up+cellSize/2, 2.5)...)
			}
		}
	}
	for i, at := range cells {
		if n := i - classes; n != 0 {
			l.boxes(shade(n), at)
		}
	}
	l.strokes(weak, signs[0])
	l.strokes(strong, signs[1])
}

// signed tells which sign a class bears: none (-1), one for medium colours (0) or one for strong ones (1).
func signed(class int) int {
	switch size := max(class, -class); {
	case size <= 2:
		return -1
	case size <= 4:
		return 0
	}
	return 1
}

// sign is a plus or minus about a place.
func sign(class int, x, y, half float64) []stroke {
	out := []stroke{{x - half, y, x + half, y}}
	if class > 0 {
		out = append(out, stroke{x, y - half, x, y + half})
	}
	return out
}

// crosses draws the rejected points, of too many an even choice, and returns how many.
func (c *seenCap) crosses(l *list, x, y float64) int {
	n := len(c.rejected)
	drawn := min(n, mostCrosses)
	var out []stroke
	for i := range drawn {
		p := c.rejected[i*n/drawn]
		px, py := x+cellSize*p.x, y+cellSize*p.y
		out = append(out, stroke{px - 2.5, py - 2.5, px + 2.5, py + 2.5}, stroke{px - 2.5, py + 2.5, px + 2.5, py - 2.5})
	}
	l.strokes(behind, out)
	l.strokes(crossed, out)
	return drawn
}
