package sphere

import (
	"math"
	"slices"
)

// Shape is what the points of a fit show beside centre and radius.
type Shape struct {
	FormMM   float64 // largest minus smallest deviation
	Form95MM float64 // width of the narrowest shell about the centre that holds 95 % of the points

	Coverage  float64 // share of the sphere's surface that has points, 0 … 1
	Axis      vector  // middle of the part seen
	HalfAngle float64 // of the cap about the axis that holds 99.5 % of the points, radians
}

// shapeOf describes the points of a fit that are in; nil means all are. It takes 8 bytes for each.
func shapeOf(p Points, in []bool, f *Fit) Shape {
	all := func(visit func(v vector)) {
		for i := range p.Len() {
			if in == nil || in[i] {
				visit(minus(p.at(i), f.CenterMM))
			}
		}
	}
	s := Shape{Axis: axisOf(f.Points, all)}
	s.Coverage = coverageOf(f.Points, s.Axis, all)

	values := make([]float64, 0, f.Points)
	all(func(v vector) {
		values = append(values, math.Acos(math.Max(-1, math.Min(1, dot(unit(v), s.Axis)))))
	})
	slices.Sort(values)
	n := len(values)
	s.HalfAngle = values[min(n-1, int(math.Ceil(0.995*float64(n))))]
	values = values[:0]
	all(func(v vector) { values = append(values, norm(v)-f.RadiusMM) })
	slices.Sort(values)
	s.FormMM = values[n-1] - values[0]
	s.Form95MM = narrowest(values, 0.95)
	return s
}

// capped takes from in the points farther than an angle from the middle of the part seen.
func capped(p Points, in []bool, f *Fit, halfAngle float64) {
	if halfAngle <= 0 {
		return
	}
	n := 0
	for i := range in {
		if in[i] {
			n++
		}
	}
	axis := axisOf(n, func(visit func(v vector)) {
		for i := range in {
			if in[i] {
				visit(minus(p.at(i), f.CenterMM))
			}
		}
	})
	least := math.Cos(halfAngle)
	for i := range in {
		in[i] = in[i] && dot(unit(minus(p.at(i), f.CenterMM)), axis) >= least
	}
}

// coverageOf returns the share of the sphere that points lie on: of cells with about twenty points each, those that have
// any; one at the edge of what was seen counts half, as it is half covered on average.
func coverageOf(n int, axis vector, all func(visit func(v vector))) float64 {
	share := 0.5
	for range 2 {
		c := cellsOf(max(4, min(60, int(math.Sqrt(float64(n)/(60*share))))), axis)
		seen := c.seen(all)
		sum := 0.0
		for k := range seen {
			if seen[k] == 0 {
				continue
			}
			sum++
			if c.atEdge(k, func(o int) bool { return seen[o] > 0 }) {
				sum -= 0.5
			}
		}
		share = math.Max(sum/float64(c.n()), 0.5/float64(c.n()))
	}
	return share
}

// narrowest returns the width of the narrowest interval that holds a share of the sorted values.
func narrowest(sorted []float64, share float64) float64 {
	n := len(sorted)
	hold := min(n, int(math.Ceil(share*float64(n))))
	width := math.Inf(1)
	for i := 0; i+hold <= n; i++ {
		width = math.Min(width, sorted[i+hold-1]-sorted[i])
	}
	return width
}

// axisOf returns the middle of n directions, each place on the sphere counting alike however dense the points are there.
func axisOf(n int, all func(visit func(v vector))) vector {
	first := vector{}
	all(func(v vector) { first = plus(first, 1, unit(v)) })
	start := unit(first)
	if start == (vector{}) {
		start = vector{0, 0, 1}
	}
	c := cellsFor(n, start)
	sum := make([]vector, c.n())
	all(func(v vector) {
		u := unit(v)
		i := c.of(u)
		sum[i] = plus(sum[i], 1, u)
	})
	middle := vector{}
	for i := range sum {
		middle = plus(middle, 1, unit(sum[i]))
	}
	if axis := unit(middle); axis != (vector{}) {
		return axis
	}
	return start
}

// cells divide a sphere into parts of equal area: bands of equal height along an axis, each of the same number of sectors.
type cells struct {
	axis, e1, e2   vector
	bands, sectors int
}

// cellsFor returns cells that hold ten of n evenly spread points each, within limits.
func cellsFor(n int, axis vector) cells {
	bands := int(math.Sqrt(float64(n) / 30))
	return cellsOf(max(4, min(40, bands)), axis)
}

// cellsOf returns cells in so many bands; three times as many sectors make them square at the equator.
func cellsOf(bands int, axis vector) cells {
	c := cells{axis: axis, bands: bands, sectors: 3 * bands}
	other := vector{1, 0, 0}
	if math.Abs(axis[0]) > 0.7 {
		other = vector{0, 1, 0}
	}
	c.e1 = unit(plus(other, -dot(other, axis), axis))
	c.e2 = vector{
		float64(axis[1]*c.e1[2]) - float64(axis[2]*c.e1[1]),
		float64(axis[2]*c.e1[0]) - float64(axis[0]*c.e1[2]),
		float64(axis[0]*c.e1[1]) - float64(axis[1]*c.e1[0]),
	}
	return c
}

func (c *cells) n() int { return c.bands * c.sectors }

// of returns the cell a direction lies in.
func (c *cells) of(u vector) int {
	band := int((1 - dot(u, c.axis)) / 2 * float64(c.bands))
	turn := math.Atan2(dot(u, c.e2), dot(u, c.e1))/(2*math.Pi) + 0.5
	return max(0, min(c.bands-1, band))*c.sectors + max(0, min(c.sectors-1, int(turn*float64(c.sectors))))
}

// seen counts the points in each cell.
func (c cells) seen(all func(visit func(v vector))) []int32 {
	count := make([]int32, c.n())
	all(func(v vector) { count[c.of(unit(v))]++ })
	return count
}
