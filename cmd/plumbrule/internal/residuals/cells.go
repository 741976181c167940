package residuals

import "math"

// The grid of a map: a cap of a hemisphere has about 1400 cells, small enough for a seam between two views to show. Seven
// pixels are the least that holds a sign, and an odd number of them puts it in the middle without blurring it.
const (
	grid     = 42
	cellSize = 7.0
	mapSize  = grid * cellSize
)

// frame looks at a cap from outside: axis towards the reader, right and up on the map.
type frame struct{ axis, right, up xyz }

// newFrame turns the map so that the direction toward lies to the right. Where that is no direction across the axis, the
// first of the scan's x, y and z that is takes its place; named is 0 then for x, 1 for y, 2 for z, else -1.
func newFrame(axis, toward xyz) (f frame, named int) {
	f.axis, _ = unit(axis)
	named = -1
	right, ok := across(toward, f.axis)
	for !ok {
		named++
		var e xyz
		e[named] = 1
		right, ok = across(e, f.axis)
	}
	f.right, f.up = right, cross(f.axis, right)
	return f, named
}

// project maps the direction of a point by the azimuthal equal-area projection: x to the right, y up, 0 in the cap's
// middle, 1 at 60° from it, 2 at the point opposite. It is false for the centre itself.
//
// The distance from the middle is 2·sin(θ/2) for a polar angle θ (Snyder, Map Projections, USGS Professional Paper 1395,
// 1987, eq. 24-1 and following).
func (f frame) project(v xyz) (x, y float64, ok bool) {
	u, ok := unit(v)
	if !ok {
		return 0, 0, false
	}
	a, b, c := dot(u, f.right), dot(u, f.up), dot(u, f.axis)
	r := math.Hypot(a, b)
	if r == 0 {
		if c < 0 {
			return 2, 0, true // opposite the middle: anywhere on the rim, so to the right
		}
		return 0, 0, true
	}
	// 2·sin(θ/2) = √(2 − 2·cos θ); near the middle the difference would lose its digits.
	d := math.Sqrt(max(0, 2-2*c))
	if c > 0 {
		d = r * math.Sqrt(2/(1+c))
	}
	return float64(d * (a / r)), float64(d * (b / r)), true
}

// reach is the distance of a polar angle in degrees from the middle of the map.
func reach(degrees float64) float64 { return 2 * math.Sin(degrees*math.Pi/360) }

// seenCap is a sphere's points on its map.
type seenCap struct {
	limit    float64 // polar angle of the map's rim in degrees, a multiple of 30
	mean     [grid * grid]float64
	count    [grid * grid]int
	rejected []place // that lie on the map
	beyond   int     // rejected points that do not
}

// place is a point of the map in cells from its upper left corner.
type place struct{ x, y float64 }

// newCap averages the residuals kept in the cells of the map. The rim lies at the first multiple of 30° that holds them all,
// whatever half-angle was found: no kept point goes unseen.
func newCap(s *Sphere, f frame) *seenCap {
	lowest := 1.0 // the cosine of the largest polar angle
	for i := range s.ResidualUM {
		if u, ok := unit(s.from(i)); ok && s.kept(i) {
			lowest = min(lowest, dot(u, f.axis))
		}
	}
	c := &seenCap{limit: 60}
	for c.limit < 180 && lowest < math.Cos(c.limit*math.Pi/180) {
		c.limit += 30
	}
	edge := reach(c.limit)
	for i, residual := range s.ResidualUM {
		x, y, ok := f.project(s.from(i))
		beyond := !ok || math.Hypot(x, y) > edge
		x, y = (x/edge+1)*(grid/2), (1-y/edge)*(grid/2)
		switch {
		case s.kept(i):
			if ok {
				k := cellAt(y)*grid + cellAt(x)
				c.mean[k] += residual
				c.count[k]++
			}
		case beyond:
			c.beyond++
		default:
			c.rejected = append(c.rejected, place{x, y})
		}
	}
	for k, n := range c.count {
		if n > 0 {
			c.mean[k] /= float64(n)
		}
	}
	return c
}

// from returns the way from the centre to a point.
func (s *Sphere) from(i int) xyz {
	return minus(xyz(s.PointsMM[3*i:3*i+3]), s.CenterMM)
}

// cellAt is the row or column of a place; the rim belongs to the last.
func cellAt(v float64) int { return min(max(int(v), 0), grid-1) }

// class is the colour of a mean: ±1 up to half a standard deviation, and so on; ±6 beyond. Without a spread nothing stands
// out.
func class(meanUM, sdUM float64) int {
	n := 1
	if sdUM > 0 {
		n = 1 + int(min(2*math.Abs(meanUM)/sdUM, classes-1))
	}
	if meanUM < 0 {
		return -n
	}
	return n
}
