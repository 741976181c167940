package sphere

import "math"

// index finds the points near a place without looking at all of them.
type index struct {
	points Points
	grid   *grid
	start  []int32 // of each cube in members
	member []int32 // numbers of points, by cube and then rising
}

// newIndex sorts points into cubes.
func newIndex(p Points, edge float64) *index {
	n := p.Len()
	x := &index{points: p, grid: newGrid(edge, 1024)}
	cube := make([]int32, n)
	var count []int32
	for i := range n {
		cube[i] = -1
		if at, ok := x.grid.placeOf(p.XYZ[3*i], p.XYZ[3*i+1], p.XYZ[3*i+2]); ok {
			k := x.grid.number(at)
			if k == len(count) {
				count = append(count, 0)
			}
			cube[i] = int32(k)
			count[k]++
		}
	}
	x.start = make([]int32, len(count)+1)
	for k, c := range count {
		x.start[k+1] = x.start[k] + c
	}
	next := append([]int32(nil), x.start...)
	x.member = make([]int32, x.start[len(count)])
	for i, k := range cube {
		if k >= 0 {
			x.member[next[k]] = int32(i)
			next[k]++
		}
	}
	return x
}

// near returns the points of all cubes that come within reach of a place along each axis, and nothing of their weights.
func (x *index) near(at vector, reach float64) (out Points) {
	low, ok := x.grid.placeOf(at[0]-reach, at[1]-reach, at[2]-reach)
	high, fine := x.grid.placeOf(at[0]+reach, at[1]+reach, at[2]+reach)
	if !ok || !fine {
		return out
	}
	for i := low[0]; i <= high[0]; i++ {
		for j := low[1]; j <= high[1]; j++ {
			for k := low[2]; k <= high[2]; k++ {
				cube := x.grid.find(place{i, j, k})
				if cube < 0 {
					continue
				}
				for _, m := range x.member[x.start[cube]:x.start[cube+1]] {
					q := x.points.at(int(m))
					if math.Abs(q[0]-at[0]) <= reach && math.Abs(q[1]-at[1]) <= reach && math.Abs(q[2]-at[2]) <= reach {
						out.XYZ = append(out.XYZ, q[0], q[1], q[2])
					}
				}
			}
		}
	}
	return out
}
