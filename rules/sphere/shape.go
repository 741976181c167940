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

// mostForShape bounds the points from which coverage, axis and half-angle are taken: evenly chosen, so many say as much.
const mostForShape = 40_000

// shapeOf describes the points of a fit that are in; nil means all are.
func shapeOf(p Points, in []bool, f *Fit) Shape {
	stride := f.Points/mostForShape + 1
	n := 0
	some := func(visit func(v vector)) {
		n = 0
		for i, k := 0, 0; i < p.Len(); i++ {
			if in != nil && !in[i] {
				continue
			}
			if k%stride == 0 {
				n++
				visit(minus(p.at(i), f.CenterMM))
			}
			k++
		}
	}
	some(func(vector) {})
	s := Shape{Axis: axisOf(n, some)}
	s.Coverage = coverageOf(n, s.Axis, some)
	cosines := make([]float64, 0, n)
	some(func(v vector) { cosines = append(cosines, dot(unit(v), s.Axis)) })
	slices.Sort(cosines)
	s.HalfAngle = math.Acos(math.Max(-1, math.Min(1, cosines[int(0.005*float64(len(cosines)))])))
	s.FormMM, s.Form95MM = formOf(p, in, f)
	return s
}

// formOf returns the range of the deviations, and the width of the narrowest shell that holds 95 % of them. Only the least
// and the largest of them can be a shell's ends, so only those are sorted.
func formOf(p Points, in []bool, f *Fit) (all, most float64) {
	deviation := func(i int) (float64, bool) {
		if in != nil && !in[i] {
			return 0, false
		}
		return f.DeviationMM(p.at(i)), true
	}
	stride := f.Points/20_000 + 1
	var sample []float64
	for i := 0; i < p.Len(); i += stride {
		if d, ok := deviation(i); ok {
			sample = append(sample, d)
		}
	}
	slices.Sort(sample)
	low, high := math.Inf(1), math.Inf(-1) // all, for so few points
	if stride > 1 && len(sample) > 1000 {
		low, high = sample[len(sample)*7/100], sample[len(sample)*93/100]
	}
	var least, largest []float64
	n := 0
	for i := range p.Len() {
		d, ok := deviation(i)
		if !ok {
			continue
		}
		n++
		if d <= low {
			least = append(least, d)
		}
		if d >= high {
			largest = append(largest, d)
		}
	}
	slices.Sort(least)
	slices.Sort(largest)
	out := n - int(math.Ceil(0.95*float64(n))) // so many may be left out, below and above together
	most = math.Inf(1)
	for below := range out + 1 {
		if above := len(largest) - 1 - (out - below); below < len(least) && above >= 0 {
			most = math.Min(most, largest[above]-least[below])
		}
	}
	return largest[len(largest)-1] - least[0], most
}

// coverageOf returns the share of the sphere that points lie on: of cells with about twenty points each, those that have
// any, and those among them that chance has left empty; one at the edge of what was seen counts half, as it is half covered
// on average.
func coverageOf(n int, axis vector, all func(visit func(v vector))) float64 {
	share := 0.5
	for range 2 {
		c := cellsOf(max(4, min(60, int(math.Sqrt(float64(n)/(60*share))))), axis)
		covered := c.filled(c.seen(all))
		sum := 0.0
		for k := range covered {
			if !covered[k] {
				continue
			}
			sum++
			if c.sides(k, covered) < 4 {
				sum -= 0.5
			}
		}
		share = math.Max(sum/float64(c.n()), 0.5/float64(c.n()))
	}
	return share
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
