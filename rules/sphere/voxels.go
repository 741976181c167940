package sphere

import "math"

// grid numbers the cubes of a lattice that hold something, in the order in which they were first met, so that nothing
// depends on the order of a map.
type grid struct {
	edge   float64
	places []place // of each cube
	table  []int32 // open addressing: number of a cube + 1
	mask   uint64
}

// place is a cube of the lattice.
type place [3]int32

func newGrid(edge float64, expect int) *grid {
	size := 1024
	for size < 2*expect {
		size *= 2
	}
	return &grid{edge: edge, table: make([]int32, size), mask: uint64(size - 1)}
}

// placeOf returns the cube of a point; false if it is too far away for the lattice.
func (g *grid) placeOf(x, y, z float64) (place, bool) {
	x, y, z = math.Floor(x/g.edge), math.Floor(y/g.edge), math.Floor(z/g.edge)
	const far = 1 << 30
	if !(math.Abs(x) < far && math.Abs(y) < far && math.Abs(z) < far) {
		return place{}, false
	}
	return place{int32(x), int32(y), int32(z)}, true
}

func hash(p place) uint64 {
	h := uint64(uint32(p[0]))*0x9E3779B97F4A7C15 ^ uint64(uint32(p[1]))*0xC2B2AE3D27D4EB4F ^ uint64(uint32(p[2]))*0x165667B19E3779F9
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	return h ^ h>>32
}

// find returns the number of a cube, or −1.
func (g *grid) find(p place) int {
	for h := hash(p) & g.mask; ; h = (h + 1) & g.mask {
		n := int(g.table[h]) - 1
		if n < 0 || g.places[n] == p {
			return n
		}
	}
}

// number returns the number of a cube, a new one if it was not met before.
func (g *grid) number(p place) int {
	h := hash(p) & g.mask
	for ; ; h = (h + 1) & g.mask {
		n := int(g.table[h]) - 1
		if n < 0 {
			break
		}
		if g.places[n] == p {
			return n
		}
	}
	g.places = append(g.places, p)
	g.table[h] = int32(len(g.places))
	if 2*len(g.places) > len(g.table) {
		g.grow()
	}
	return len(g.places) - 1
}

func (g *grid) grow() {
	g.table = make([]int32, 2*len(g.table))
	g.mask = uint64(len(g.table) - 1)
	for n, p := range g.places {
		h := hash(p) & g.mask
		for g.table[h] != 0 {
			h = (h + 1) & g.mask
		}
		g.table[h] = int32(n + 1)
	}
}

// moments are sums over the points of a cube, about its corner.
type moments struct {
	n       float64
	x, y, z float64
	xx, xy, xz,
	yy, yz, zz float64
}

// patch is a piece of surface: the points of one cube, with the direction in which they spread least.
type patch struct {
	middle, normal vector
}

// patchesOf divides the points into cubes and returns those that look like pieces of a surface, in the order of the scan.
func patchesOf(p Points, edge float64) []patch {
	g := newGrid(edge, p.Len()/8)
	var sums []moments
	n := p.Len()
	for i := range n {
		px, py, pz := p.XYZ[3*i], p.XYZ[3*i+1], p.XYZ[3*i+2]
		at, ok := g.placeOf(px, py, pz)
		if !ok {
			continue
		}
		k := g.number(at)
		if k == len(sums) {
			sums = append(sums, moments{})
		}
		m := &sums[k]
		x, y, z := px-float64(at[0])*edge, py-float64(at[1])*edge, pz-float64(at[2])*edge
		m.n++
		m.x += x
		m.y += y
		m.z += z
		m.xx += float64(x * x)
		m.xy += float64(x * y)
		m.xz += float64(x * z)
		m.yy += float64(y * y)
		m.yz += float64(y * z)
		m.zz += float64(z * z)
	}
	var out []patch
	for k := range sums {
		m := &sums[k]
		if m.n < leastInPatch {
			continue
		}
		x, y, z := m.x/m.n, m.y/m.n, m.z/m.n
		values, vectors := eigen([3][3]float64{
			{m.xx/m.n - float64(x*x), m.xy/m.n - float64(x*y), m.xz/m.n - float64(x*z)},
			{m.xy/m.n - float64(x*y), m.yy/m.n - float64(y*y), m.yz/m.n - float64(y*z)},
			{m.xz/m.n - float64(x*z), m.yz/m.n - float64(y*z), m.zz/m.n - float64(z*z)},
		})
		// A piece of surface is thin in one direction and extends in the other two.
		if values[0] > 0.15*values[1] || values[1] < 0.03*values[2] {
			continue
		}
		c := g.places[k]
		out = append(out, patch{
			middle: vector{x + float64(c[0])*edge, y + float64(c[1])*edge, z + float64(c[2])*edge},
			normal: vectors[0],
		})
	}
	return out
}

// leastInPatch is the number of points below which a cube's direction is not worth having.
const leastInPatch = 4

// eigen returns the eigenvalues of a symmetric matrix in rising order with their unit vectors, by Jacobi's rotations.
func eigen(a [3][3]float64) (values [3]float64, vectors [3]vector) {
	v := [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for range 12 {
		off := math.Abs(a[0][1]) + math.Abs(a[0][2]) + math.Abs(a[1][2])
		if off <= 1e-14*(math.Abs(a[0][0])+math.Abs(a[1][1])+math.Abs(a[2][2])) {
			break
		}
		for _, pq := range [3][2]int{{0, 1}, {0, 2}, {1, 2}} {
			p, q := pq[0], pq[1]
			if a[p][q] == 0 {
				continue
			}
			theta := (a[q][q] - a[p][p]) / (2 * a[p][q])
			t := 1 / (math.Abs(theta) + math.Sqrt(float64(theta*theta)+1))
			if theta < 0 {
				t = -t
			}
			c := 1 / math.Sqrt(float64(t*t)+1)
			s := t * c
			for k := range 3 {
				x, y := a[k][p], a[k][q]
				a[k][p], a[k][q] = float64(c*x)-float64(s*y), float64(s*x)+float64(c*y)
			}
			for k := range 3 {
				x, y := a[p][k], a[q][k]
				a[p][k], a[q][k] = float64(c*x)-float64(s*y), float64(s*x)+float64(c*y)
				x, y = v[k][p], v[k][q]
				v[k][p], v[k][q] = float64(c*x)-float64(s*y), float64(s*x)+float64(c*y)
			}
		}
	}
	order := [3]int{0, 1, 2}
	for i := range 2 {
		for k := range 2 - i {
			if a[order[k]][order[k]] > a[order[k+1]][order[k+1]] {
				order[k], order[k+1] = order[k+1], order[k]
			}
		}
	}
	for i, o := range order {
		values[i] = a[o][o]
		vectors[i] = vector{v[0][o], v[1][o], v[2][o]}
	}
	return values, vectors
}
