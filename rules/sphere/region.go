package sphere

import "math"

// What makes a part of the sphere's surface one that was scanned.
const (
	thinCell    = 0.1  // of the median number of points in a cell: fewer are strays
	smallIsland = 0.05 // of the points: fewer, apart from the rest, are a stem's end or strays
	touched     = 0.5  // points beside the surface for each on it: something else touches the sphere there
	mostTouched = 0.2  // of the cells: if more were touched it is the sphere itself that is doubled
)

// scannedPart takes from in those points that lie where the sphere was not really scanned: single strays far from all
// others, the end of a stem that pierces the surface, places where something touches the sphere. Few as they are, such
// points lie far from the rest and pull at the radius. p are all points near the sphere, in those of the surface.
func scannedPart(p Points, in []bool, f *Fit, gate float64) {
	var n int
	var middle vector
	for i := range in {
		if in[i] {
			n++
			middle = plus(middle, 1, unit(minus(p.at(i), f.CenterMM)))
		}
	}
	axis := unit(middle)
	if axis == (vector{}) {
		axis = vector{0, 0, 1}
	}
	c := cellsFor(n, axis)
	on, beside := make([]int, c.n()), make([]int, c.n())
	cell := make([]int32, p.Len())
	for i := range cell {
		v := minus(p.at(i), f.CenterMM)
		k := c.of(unit(v))
		cell[i] = int32(k)
		switch d := norm(v) - f.RadiusMM; {
		case in[i]:
			on[k]++
		case math.Abs(d) > 2*gate:
			beside[k]++
		}
	}
	counts := make([]float64, 0, len(on))
	for _, k := range on {
		if k > 0 {
			counts = append(counts, float64(k))
		}
	}
	if len(counts) == 0 {
		return
	}
	least := math.Max(2, thinCell*median(counts))
	covered, bad := make([]bool, len(on)), make([]bool, len(on))
	number := 0
	for k := range on {
		covered[k] = float64(on[k]) >= least
		if covered[k] && beside[k] >= 3 && float64(beside[k]) > touched*float64(on[k]) {
			bad[k] = true
			number++
		}
	}
	if float64(number) <= mostTouched*float64(len(counts)) {
		for k := range bad {
			covered[k] = covered[k] && !bad[k]
		}
	}
	island, size := c.islands(covered, on)
	for i := range in {
		if k := island[cell[i]]; in[i] && (k < 0 || float64(size[k]) < smallIsland*float64(n)) {
			in[i] = false
		}
	}
}

// islands numbers the connected parts of the covered cells, −1 elsewhere, and counts the points of each.
func (c *cells) islands(covered []bool, points []int) (of, size []int) {
	of = make([]int, len(covered))
	for k := range of {
		of[k] = -1
	}
	var stack []int
	for k := range covered {
		if !covered[k] || of[k] >= 0 {
			continue
		}
		number := len(size)
		size = append(size, 0)
		stack = append(stack[:0], k)
		of[k] = number
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			size[number] += points[at]
			c.neighbours(at, func(o int) {
				if covered[o] && of[o] < 0 {
					of[o] = number
					stack = append(stack, o)
				}
			})
		}
	}
	return of, size
}

// neighbours visits the cells around one, those at its corners included; all of a pole's are neighbours of each other.
func (c *cells) neighbours(k int, visit func(o int)) {
	band, sector := k/c.sectors, k%c.sectors
	for db := -1; db <= 1; db++ {
		b := band + db
		if b < 0 || b >= c.bands {
			for s := range c.sectors {
				visit(band*c.sectors + s)
			}
			continue
		}
		for ds := -1; ds <= 1; ds++ {
			visit(b*c.sectors + (sector+ds+c.sectors)%c.sectors)
		}
	}
}

// atEdge reports whether a cell has a side in common with one that is not covered.
func (c *cells) atEdge(k int, covered func(o int) bool) bool {
	band, sector := k/c.sectors, k%c.sectors
	east, west := band*c.sectors+(sector+1)%c.sectors, band*c.sectors+(sector+c.sectors-1)%c.sectors
	return !covered(east) || !covered(west) || band > 0 && !covered(k-c.sectors) || band+1 < c.bands && !covered(k+c.sectors)
}
