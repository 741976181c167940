package scan

import (
	"math"
	"math/bits"
)

// vertices are distinct points in the order in which they were first asked for. They lie in pages of a block each, which
// never move; besides them there is a table of numbers, at most three quarters full.
type vertices struct {
	n     uint32
	pages []*vertexPage
	slots []uint32 // number of a vertex plus 1, or 0, at the place its coordinates' hash names or the next free one
}

const maxVertices = math.MaxUint32

type vertexPage struct {
	xyz    [3 * BlockPoints]float64
	weight [BlockPoints]float64
}

// find returns the number of the vertex, which is new if no vertex had the same coordinates. Negative zero is zero. There
// is room for [maxVertices].
func (v *vertices) find(xyz *[3]float64) uint32 {
	p := [3]float64{xyz[0] + 0, xyz[1] + 0, xyz[2] + 0} // -0 + 0 is 0
	if uint64(v.n)*4 >= uint64(len(v.slots))*3 {
		v.grow()
	}
	mask := uint64(len(v.slots) - 1)
	slot := vertexHash(&p) & mask
	for v.slots[slot] != 0 {
		i := v.slots[slot] - 1
		if *v.at(i) == p {
			return i
		}
		slot = (slot + 1) & mask
	}
	if v.n%BlockPoints == 0 {
		v.pages = append(v.pages, new(vertexPage))
	}
	v.n++
	v.slots[slot] = v.n
	*v.at(v.n - 1) = p
	return v.n - 1
}

func (v *vertices) at(i uint32) *[3]float64 {
	first := 3 * (i % BlockPoints)
	return (*[3]float64)(v.pages[i/BlockPoints].xyz[first : first+3])
}

func (v *vertices) weight(i uint32) *float64 { return &v.pages[i/BlockPoints].weight[i%BlockPoints] }

func (v *vertices) grow() {
	v.slots = make([]uint32, max(2*len(v.slots), 1<<10))
	mask := uint64(len(v.slots) - 1)
	for i := range v.n {
		slot := vertexHash(v.at(i)) & mask
		for v.slots[slot] != 0 {
			slot = (slot + 1) & mask
		}
		v.slots[slot] = i + 1
	}
}

// vertexHash mixes the bits of all coordinates: the halves of products with odd numbers of many ones and zeros, folded.
func vertexHash(p *[3]float64) uint64 {
	const a, b, c = 0x9e3779b97f4a7c15, 0xc2b2ae3d27d4eb4f, 0x165667b19e3779f9
	high, low := bits.Mul64(math.Float64bits(p[0])^a, math.Float64bits(p[1])^b)
	high, low = bits.Mul64(high^low^c, math.Float64bits(p[2])^a)
	return high ^ low
}
