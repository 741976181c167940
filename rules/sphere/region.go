package sphere

import "math"

// What makes a part of the sphere's surface one that was scanned.
const (
	thinCell    = 0.1  // of the median number of points in a cell: fewer are strays
	sparseCell  = 0.35 // of it, over a cell and its neighbours: fewer are strays if half as many lie beside the surface
	smallIsland = 0.05 // of the points: fewer, apart from the rest, are a stem's end or strays
	touched     = 0.5  // points beside the surface for each on it: something else touches the sphere there
	mostTouched = 0.2  // of the points: if more were touched it is the sphere itself that is doubled
)

// part is the part of a sphere's surface that was scanned.
type part struct {
	cells   cells
	scanned []bool
	axis    vector  // with least, the cap that alone is to be fitted
	least   float64 // cosine of its half-angle; −1: no limit
}

// has reports whether a direction from the centre belongs to the part.
func (t *part) has(v vector) bool {
	u := unit(v)
	return t.scanned[t.cells.of(u)] && dot(u, t.axis) >= t.least
}

// pick marks the points that lie within gate of the sphere and in the part.
func (t *part) pick(p Points, f *Fit, gate float64, in []bool, workers int) {
	inChunks(p.Len(), workers, func(_, from, to int) {
		for i := from; i < to; i++ {
			v := minus(p.at(i), f.CenterMM)
			in[i] = math.Abs(norm(v)-f.RadiusMM) <= gate && t.has(v)
		}
	})
}

// scannedPart finds the part of the surface that was really scanned: not where single strays lie far from all other points,
// not the end of a stem that pierces the surface, not where something touches the sphere. Few as such points are, they lie
// far from the rest and pull at the radius. p are points near the sphere, in marks those of the surface.
func scannedPart(p Points, in []bool, f *Fit, gate, halfAngle float64) *part {
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
	for i := range in {
		v := minus(p.at(i), f.CenterMM)
		k := c.of(unit(v))
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
	t := &part{cells: c, scanned: make([]bool, len(on)), axis: axis, least: -2}
	if len(counts) == 0 {
		return t
	}
	middling := median(counts)
	least := math.Max(2, thinCell*middling)
	bad := make([]bool, len(on))
	number := 0
	for k := range on {
		around, off, cells := 0, 0, 0
		c.neighbours(k, func(o int) {
			around += on[o]
			off += beside[o]
			cells++
		})
		sparse := float64(around) < sparseCell*middling*float64(cells) && 2*off >= around
		t.scanned[k] = float64(on[k]) >= least && !sparse
		if t.scanned[k] && beside[k] >= 3 && float64(beside[k]) > touched*float64(on[k]) {
			bad[k] = true
			number += on[k]
		}
	}
	if float64(number) <= mostTouched*float64(n) {
		for k := range bad {
			t.scanned[k] = t.scanned[k] && !bad[k]
		}
	}
	island, size := c.islands(t.scanned, on)
	for k := range t.scanned {
		t.scanned[k] = t.scanned[k] && float64(size[island[k]]) >= smallIsland*float64(n)
	}
	if halfAngle > 0 {
		t.axis = axisOf(n, func(visit func(v vector)) {
			for i := range in {
				if v := minus(p.at(i), f.CenterMM); in[i] && t.scanned[c.of(unit(v))] {
					visit(v)
				}
			}
		})
		t.least = math.Cos(halfAngle)
	}
	return t
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

// sides counts the sides that a cell has in common with covered ones; at a pole there is nothing beyond.
func (c *cells) sides(k int, covered []bool) (n int) {
	band, sector := k/c.sectors, k%c.sectors
	for _, o := range []int{band*c.sectors + (sector+1)%c.sectors, band*c.sectors + (sector+c.sectors-1)%c.sectors, k - c.sectors, k + c.sectors} {
		if o < 0 || o >= len(covered) || covered[o] {
			n++
		}
	}
	return n
}

// filled marks the cells that have points, and those that at least three sides join to such.
func (c *cells) filled(points []int32) []bool {
	seen, out := make([]bool, len(points)), make([]bool, len(points))
	for k, n := range points {
		seen[k] = n > 0
	}
	for k := range out {
		out[k] = seen[k] || c.sides(k, seen) >= 3
	}
	return out
}
