package space

import (
	"fmt"
	"math"
)

// Layout says how measuring volumes are laid over a part: boxes of one size along the axes, neighbours of which share at
// least the overlap.
type Layout struct {
	Size    Point   // mm, along each axis, above 0
	Overlap float64 // mm, 0 or more and less than the least side
}

// Cell is one volume of a layout.
type Cell struct {
	At    Point  // its middle, mm
	Index [3]int // which it is along each axis, from 0
}

// mostCells is how many volumes a layout may have.
const mostCells = 1 << 20

// grid is a layout along the three axes.
type grid struct {
	count [3]int
	first Point // middle of the first cell
	step  Point
}

// Over lays volumes over a box, as few as cover it with at least the overlap between neighbours, evenly spread from end to
// end. A side of the box may be 0.
func (l Layout) Over(least, most Point) ([]Cell, error) {
	g, err := l.grid(least, most)
	if err != nil {
		return nil, err
	}
	var out []Cell
	for x := range g.count[0] {
		for y := range g.count[1] {
			for z := range g.count[2] {
				out = append(out, g.cell([3]int{x, y, z}))
			}
		}
	}
	return out, nil
}

// OverPoints lays volumes as [Layout.Over] does over the box around the points of a cloud, or the corners of a mesh, and
// keeps those that some point is nearest to the middle of. A mesh of triangles larger than a volume must be refined first,
// because only corners count.
func (l Layout) OverPoints(points []Point) ([]Cell, error) {
	if len(points) == 0 {
		return nil, fmt.Errorf("no points, expected those of the part")
	}
	least, most := points[0], points[0]
	for n, p := range points {
		if !p.Good() {
			return nil, fmt.Errorf("point %d: %w", n+1, errPlace)
		}
		for i := range p {
			least[i], most[i] = min(least[i], p[i]), max(most[i], p[i])
		}
	}
	g, err := l.grid(least, most)
	if err != nil {
		return nil, err
	}
	used := make([]bool, g.count[0]*g.count[1]*g.count[2])
	for _, p := range points {
		at := g.nearest(p)
		used[(at[0]*g.count[1]+at[1])*g.count[2]+at[2]] = true
	}
	var out []Cell
	for i, is := range used {
		if is {
			out = append(out, g.cell([3]int{i / g.count[2] / g.count[1], i / g.count[2] % g.count[1], i % g.count[2]}))
		}
	}
	return out, nil
}

func (l Layout) grid(least, most Point) (grid, error) {
	var g grid
	if !least.Good() || !most.Good() {
		return g, errPlace
	}
	total := 1.0
	for i, axis := range []string{"x", "y", "z"} {
		extent := most[i] - least[i]
		switch {
		case !(l.Size[i] > 0 && l.Size[i] <= Largest):
			return g, fmt.Errorf("a volume of %g mm along %s, expected more than 0 and up to 1e9", l.Size[i], axis)
		case !(l.Overlap >= 0 && l.Overlap < l.Size[i]):
			return g, fmt.Errorf("an overlap of %g mm of volumes %g mm wide along %s, expected 0 or more and less than the width", l.Overlap, l.Size[i], axis)
		case extent < 0:
			return g, fmt.Errorf("a part from %s = %g to %g mm, expected the lower corner first", axis, least[i], most[i])
		}
		// A part that needs n cells but for rounding has n.
		count := max(1, math.Ceil((extent-l.Overlap)/(l.Size[i]-l.Overlap)-1e-9))
		if total *= count; total > mostCells {
			return g, fmt.Errorf("more than %d volumes, expected larger volumes, less overlap or a smaller part", mostCells)
		}
		g.count[i] = int(count)
		g.first[i] = least[i] + extent/2
		if g.count[i] > 1 {
			g.first[i] = least[i] + l.Size[i]/2
			g.step[i] = (extent - l.Size[i]) / (count - 1)
		}
	}
	return g, nil
}

func (g grid) cell(index [3]int) Cell {
	c := Cell{Index: index}
	for i, n := range index {
		c.At[i] = g.first[i] + float64(float64(n)*g.step[i])
	}
	return c
}

// nearest returns the cell whose middle is nearest to a place along each axis.
func (g grid) nearest(p Point) (index [3]int) {
	for i := range p {
		if g.step[i] > 0 {
			index[i] = int(min(max(math.Round((p[i]-g.first[i])/g.step[i]), 0), float64(g.count[i]-1)))
		}
	}
	return index
}

// Neighbours returns the lines between cells of a layout that share a box whose every side is at least the overlap: those
// that follow each other along one, two or three axes.
func Neighbours(cells []Cell) []Line {
	at := make(map[[3]int]int, len(cells))
	for n, c := range cells {
		at[c.Index] = n
	}
	var out []Line
	for n, c := range cells {
		for k := range 27 {
			other, is := at[[3]int{c.Index[0] + k/9 - 1, c.Index[1] + k/3%3 - 1, c.Index[2] + k%3 - 1}]
			if is && other > n {
				out = append(out, Line{n, other, Distance(c.At, cells[other].At)})
			}
		}
	}
	return out
}
