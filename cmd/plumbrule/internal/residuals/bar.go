package residuals

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plumbrule/cmd/plumbrule/internal/show"
)

const (
	rowHigh   = 120.0 // the most that spheres in a row take of the page's height, in pixels
	planeHigh = 340.0 // likewise for spheres in a plane
	leastBall = 2.5   // radius in pixels below which a sphere would not be seen
	mostRows  = 8     // of dimension lines
)

// draw lays out the panel of all spheres and returns its height.
func (v *view) draw(l *list, s *Scene, x, top, width float64) float64 {
	l.text(heading, x, top+12, atStart, "Distances between centres")
	l.line(rule, x, top+19.5, x+width, top+19.5)
	y := top + 30
	if v.from == "" {
		l.text(common, x, y+10, atStart, "The centres coincide: there is nothing to show to scale.")
		return told(l, s.Distances, x, y+16, width) - top
	}
	p := newPlane(v, s, x, width)
	listed := s.Distances
	if v.inRow {
		y = p.names(l, y)
		y = p.balls(l, y, nil)
		var drawn []Distance
		drawn, listed = p.choose(s.Distances)
		y = p.dimensions(l, drawn, y)
	} else {
		y = p.balls(l, y+14, s.Distances[:min(len(s.Distances), mostDistances)])
	}
	y = p.ruler(l, x, y+16, width)
	return told(l, listed, x, y, width) - top
}

// plane is a view on paper.
type plane struct {
	*view
	scene    *Scene
	scale    float64   // pixels per millimetre
	across   []float64 // pixel of each centre
	down     []float64 // pixel of each centre below the top of the highest sphere
	radius   []float64 // of each sphere in pixels
	high     float64   // in pixels
	enlarged bool      // some sphere is drawn larger than to scale
}

func newPlane(v *view, s *Scene, x, width float64) *plane {
	p := &plane{view: v, scene: s}
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range v.x {
		r := s.Spheres[i].RadiusMM
		left, right = min(left, v.x[i]-r), max(right, v.x[i]+r)
		low, high = min(low, v.y[i]-r), max(high, v.y[i]+r)
	}
	most, room := planeHigh, width-2*nameWidth
	if v.inRow {
		most, room = rowHigh, width-nameWidth
	}
	p.scale = room / (right - left)
	if high > low { // spheres of no size in a row have no height
		p.scale = min(p.scale, most/(high-low))
	}
	p.high = p.scale * (high - low)
	start := x + (width-p.scale*(right-left))/2
	for i := range v.x {
		p.across = append(p.across, start+p.scale*(v.x[i]-left))
		p.down = append(p.down, p.scale*(high-v.y[i]))
		r := p.scale * s.Spheres[i].RadiusMM
		if r < leastBall {
			r, p.enlarged = leastBall, true
		}
		p.radius = append(p.radius, r)
	}
	if p.enlarged {
		p.high += 2 * leastBall
		for i := range p.down {
			p.down[i] += leastBall
		}
	}
	return p
}

// names writes the names of spheres in a row above them, in as many lines as it takes for none to meet another, and
// returns the place below.
func (p *plane) names(l *list, y float64) float64 {
	order := make([]int, len(p.across))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.across[a], p.across[b]) })
	var ends []float64 // of the last name in each line
	line := make([]int, len(order))
	for _, i := range order {
		half := extent(cut(p.scene.Spheres[i].Name, nameWidth))/2 + 4
		at := slices.IndexFunc(ends, func(end float64) bool { return p.across[i]-half >= end })
		if at < 0 {
			at = len(ends)
			ends = append(ends, 0)
		}
		ends[at], line[i] = p.across[i]+half, at
	}
	below := y + lineHeight*float64(len(ends))
	for i, at := range line {
		l.text(heading, p.across[i], below-lineHeight*float64(at)-4, atMiddle, cut(p.scene.Spheres[i].Name, nameWidth))
	}
	return below
}

// balls draws the spheres below y, and the lines of the given distances beneath them, and returns the place below.
func (p *plane) balls(l *list, y float64, between []Distance) float64 {
	for i := range p.down {
		p.down[i] += y
	}
	if p.inRow {
		from, to := p.scene.sphere(p.from), p.scene.sphere(p.to)
		l.line(beam, p.across[from], p.down[from], p.across[to], p.down[to])
	}
	var web []stroke
	for _, d := range between {
		if a, b := p.scene.sphere(d.From), p.scene.sphere(d.To); max(a, b) < len(p.across) {
			web = append(web, stroke{p.across[a], p.down[a], p.across[b], p.down[b]})
		}
	}
	l.strokes(dimension, web)
	var middles []stroke
	for i, r := range p.radius {
		l.circle(ball, p.across[i], p.down[i], r)
		if r > 8 {
			middles = append(middles, sign(1, p.across[i], p.down[i], 3.5)...)
		}
	}
	l.strokes(dimension, middles)
	if !p.inRow {
		for i, r := range p.radius {
			l.text(figure, p.across[i]+r*0.72+3, p.down[i]-r*0.72-3, atStart, cut(p.scene.Spheres[i].Name, nameWidth))
		}
	}
	return y + p.high
}

// choose parts the distances into those drawn as dimension lines, the shortest first, and the rest.
func (p *plane) choose(all []Distance) (drawn, rest []Distance) {
	for _, d := range all {
		if max(p.scene.sphere(d.From), p.scene.sphere(d.To)) < len(p.across) && len(drawn) < mostRows {
			drawn = append(drawn, d)
		} else {
			rest = append(rest, d)
		}
	}
	slices.SortStableFunc(drawn, func(a, b Distance) int { return cmp.Compare(a.MM, b.MM) })
	return drawn, rest
}

// dimensions draws dimension lines below spheres in a row, and returns the place below.
func (p *plane) dimensions(l *list, all []Distance, y float64) float64 {
	const gap, head = 24.0, 6.0
	reach := map[int]float64{} // how far down the line of each centre goes
	for i, d := range all {
		at := y + 22 + gap*float64(i)
		for _, name := range []string{d.From, d.To} {
			reach[p.scene.sphere(name)] = at + 5
		}
	}
	var lines []stroke
	for i := range p.across {
		if down, ok := reach[i]; ok {
			lines = append(lines, stroke{p.across[i], p.down[i] + p.radius[i] + 4, p.across[i], down})
		}
	}
	l.strokes(rule, lines)
	for i, d := range all {
		at := y + 22 + gap*float64(i)
		left, right := p.across[p.scene.sphere(d.From)], p.across[p.scene.sphere(d.To)]
		left, right = min(left, right), max(left, right)
		lines := []stroke{{left, at, right, at}}
		if right-left > 3*head {
			lines = append(lines, stroke{left, at, left + head, at - 3}, stroke{left, at, left + head, at + 3},
				stroke{right, at, right - head, at - 3}, stroke{right, at, right - head, at + 3})
		}
		l.strokes(dimension, lines)
		text := d.words()
		switch width := extent(text) + 8; {
		case width <= right-left:
			l.text(figure, (left+right)/2, at-5, atMiddle, text)
		case right+width <= l.width-margin:
			l.text(figure, right+8, at+4, atStart, text)
		case left-width >= margin:
			l.text(figure, left-8, at+4, atEnd, text)
		default:
			l.text(figure, l.width/2, at-5, atMiddle, text)
		}
	}
	if len(all) > 0 {
		y += 22 + gap*float64(len(all)-1) + 6
	}
	return y
}

// ruler draws the scale of the picture and says what is not to scale.
func (p *plane) ruler(l *list, x, y, width float64) float64 {
	// The largest of 1, 2, 5 times a power of ten millimetres that takes at most a fifth of the width.
	most := width / 5 / p.scale
	power := math.Pow(10, math.Floor(math.Log10(most)))
	length := power
	for _, factor := range []float64{2, 5} {
		if factor*power <= most {
			length = factor * power
		}
	}
	end := x + length*p.scale
	l.strokes(dimension, []stroke{{x, y, end, y}, {x, y - 4, x, y + 4}, {end, y - 4, end, y + 4}})
	text := show.Ratio(length) + " mm"
	if length >= 1 {
		text = show.Fixed(length, 0) + " mm"
	}
	if p.enlarged {
		text += "; spheres drawn larger than to scale"
	}
	if !p.inRow && p.off > 0.01*p.scene.Spheres[0].RadiusMM {
		text += fmt.Sprintf("; centres lie up to %s mm before or behind this plane", show.Fixed(p.off, 1))
	}
	l.text(quiet, end+10, y+4, atStart, text)
	return y + 8
}

// told lists distances in words below y, in three columns, and returns the place below.
func told(l *list, all []Distance, x, y, width float64) float64 {
	columns := max(1, int(width/285))
	for i, d := range all {
		if i == mostDistances {
			y += 16
			l.text(quiet, x, y, atStart, fmt.Sprintf("and %s", counted(len(all)-i, "more distance")))
			break
		}
		if i%columns == 0 {
			y += 16
		}
		l.text(common, x+float64(i%columns)*width/float64(columns), y, atStart, d.words())
	}
	return y
}
