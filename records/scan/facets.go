package scan

import "math"

// facets gathers the triangles of a mesh whose file repeats the vertices: each distinct vertex once, in the order of first
// appearance, with a third of the areas of its triangles for a weight.
//
// Vertices are the same if their coordinates are, exactly. One that is meant to be the same but is off by a bit counts
// twice, each time with the areas it belongs to, which does no harm.
type facets struct {
	in *input
	finds
	vertices vertices
	area     float64                    // of all
	step     func(peak float64) float64 // what [Tally.Step] is for the largest magnitude
	warnings []string
}

// add takes in one triangle.
func (f *facets) add(corners *[3][3]float64) error {
	if f.vertices.n > maxVertices-3 {
		return f.in.fault(nowhere(), "cut the mesh into several", "there are more than %d distinct vertices", f.vertices.n)
	}
	var at [3]uint32
	finite := true
	for i := range corners {
		c := &corners[i]
		peak := max(math.Abs(c[0]), math.Abs(c[1]), math.Abs(c[2])) // NaN if one is
		if !(peak <= math.MaxFloat64) {
			f.noteNonFinite(3*f.facets + int64(i))
			finite = false
			continue
		}
		f.peak = max(f.peak, peak)
		at[i] = f.vertices.find(c)
	}
	f.facets++
	if !finite {
		return nil // its area is unknown, and its other corners have areas from the triangles beside it
	}
	area := triangle(corners)
	if !(area <= math.MaxFloat64) {
		return f.in.fault(nowhere(), "is this a scan?", "the area of facet %d, counted from 0, is too large for a number", f.facets-1)
	}
	f.area += area
	for _, v := range at {
		*f.vertices.weight(v) += area / 3
	}
	return nil
}

// triangle returns the area between three points, half the length of the product of two sides. Products are rounded before
// they are subtracted, so that all machines give the same bits.
func triangle(p *[3][3]float64) float64 {
	var a, b [3]float64
	for i := range a {
		a[i] = p[1][i] - p[0][i]
		b[i] = p[2][i] - p[0][i]
	}
	x := float64(a[1]*b[2]) - float64(a[2]*b[1])
	y := float64(a[2]*b[0]) - float64(a[0]*b[2])
	z := float64(a[0]*b[1]) - float64(a[1]*b[0])
	return math.Sqrt(float64(x*x)+float64(y*y)+float64(z*z)) / 2
}
