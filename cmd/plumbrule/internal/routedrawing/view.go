package routedrawing

import (
	"math"

	"plumbrule/rules/route/space"
)

// Sizes in pixels.
const (
	pageWidth  = 900.0
	border     = 14.0
	mostHeight = 460.0 // of a view
	leastSide  = 60.0  // of a view
	room       = 34.0  // around what is drawn in a view, for labels
	rowHeight  = 15.0
)

// view is the part seen along one axis.
type view struct {
	heading     string
	right, up   int // axes of space
	scale       float64
	least, most space.Point
	origin      point // where least is, once the view has its place
	width       float64
	height      float64
}

// at returns where a place is on the drawing.
func (v *view) at(p space.Point) point {
	return point{v.origin.x + float64((p[v.right]-v.least[v.right])*v.scale), v.origin.y - float64((p[v.up]-v.least[v.up])*v.scale)}
}

// bounds returns the least and greatest coordinates of everything drawn.
func (p *Picture) bounds() (least, most space.Point) {
	least, most = p.Spots[0].At, p.Spots[0].At
	include := func(low, high space.Point) {
		for i := range low {
			least[i], most[i] = min(least[i], low[i]), max(most[i], high[i])
		}
	}
	for _, s := range p.Spots {
		low, high := s.At, s.At
		for i := range low {
			reach := max(s.RadiusMM, s.SizeMM[i]/2)
			low[i], high[i] = low[i]-reach, high[i]+reach
		}
		include(low, high)
	}
	for _, s := range p.Solids {
		include(s.Shape.Bounds())
	}
	return least, most
}

// views lays out the view from above and, below it, the one from the side, both at one scale. Where all volumes lie at one
// height and nothing stands between them, there is nothing to see from the side.
func (p *Picture) views(top float64) []*view {
	least, most := p.bounds()
	d := least.To(most)
	flat := len(p.Solids) == 0
	for _, s := range p.Spots {
		flat = flat && math.Abs(s.At[2]-p.Spots[0].At[2]) <= 1e-3*max(d[0], d[1])
	}
	width := pageWidth - 2*border - 2*room
	scale := math.Inf(1)
	for i, fit := range [][2]float64{{width, d[0]}, {mostHeight - 2*room, d[1]}, {mostHeight - 2*room, d[2]}} {
		if fit[1] > 0 && (i < 2 || !flat) {
			scale = min(scale, fit[0]/fit[1])
		}
	}
	if math.IsInf(scale, 1) {
		scale = 1 // all at one place
	}
	views := []*view{{heading: "from above: x to the right, y up", right: 0, up: 1}}
	if !flat {
		views = append(views, &view{heading: "from the side: x to the right, z up", right: 0, up: 2})
	}
	for _, v := range views {
		v.scale, v.least, v.most = scale, least, most
		v.width, v.height = d[v.right]*scale, max(d[v.up]*scale, leastSide-2*room)
		v.origin = point{border + room + (width-v.width)/2, top + rowHeight + room + v.height}
		top = v.origin.y + room
	}
	return views
}

// bottom returns the lower edge of a view.
func (v *view) bottom() float64 { return v.origin.y + room }

// measure returns a round length that is about a hundred pixels long, and what to call it.
func (v *view) measure() (mm float64, name string) {
	mm = math.Pow(10, math.Floor(math.Log10(150/v.scale)))
	for _, times := range []float64{5, 2} {
		if mm*times*v.scale <= 150 {
			mm *= times
			break
		}
	}
	switch {
	case mm >= 1000:
		return mm, num(mm/1000) + " m"
	case mm >= 1:
		return mm, num(mm) + " mm"
	}
	return mm, num(mm*1000) + " µm"
}
