package sphere

import (
	"context"
	"math"
	"math/bits"
	"sync"
)

// surroundings are all points of the scan near a candidate.
type surroundings struct {
	points Points
	order  []uint32 // running numbers in the scan, in units of what fits; rising
}

// gather collects from the whole scan the points within reach of each candidate's surface, scaled to millimetres, in the
// order of the scan. expect is how many there will be, about.
func gather(ctx context.Context, source Source, scale float64, fits []Fit, reach []float64, expect []int) ([]surroundings, error) {
	out := make([]surroundings, len(fits))
	for i := range out {
		out[i].points.XYZ = make([]float64, 0, 3*expect[i])
		out[i].order = make([]uint32, 0, expect[i])
	}
	type part struct {
		near  []surroundings
		count int
	}
	find := newLocator(fits, reach, scale)
	var mutex sync.Mutex
	waiting := map[int]part{}
	next, number := 0, 0
	spare := sync.Pool{New: func() any { return new([]surroundings) }}
	err := source.Blocks(ctx, func(index int, xyz, weight []float64) error {
		buffer, _ := spare.Get().(*[]surroundings)
		if len(*buffer) != len(fits) {
			*buffer = make([]surroundings, len(fits))
		}
		near := *buffer
		for i := range near {
			near[i].points.XYZ, near[i].points.Weight, near[i].order = near[i].points.XYZ[:0], near[i].points.Weight[:0], near[i].order[:0]
		}
		find.visit(xyz, func(i, k int) {
			x, y, z := xyz[3*k]*scale, xyz[3*k+1]*scale, xyz[3*k+2]*scale
			if math.Abs(fits[i].DeviationMM(vector{x, y, z})) > reach[i] {
				return
			}
			s := &near[i]
			s.points.XYZ = append(s.points.XYZ, x, y, z)
			s.order = append(s.order, uint32(k))
			if weight != nil {
				s.points.Weight = append(s.points.Weight, weight[k])
			}
		})
		mutex.Lock()
		defer mutex.Unlock()
		waiting[index] = part{near, len(xyz) / 3}
		for {
			p, there := waiting[next]
			if !there {
				return nil
			}
			delete(waiting, next)
			next++
			for i := range out {
				out[i].points.XYZ = append(out[i].points.XYZ, p.near[i].points.XYZ...)
				out[i].points.Weight = append(out[i].points.Weight, p.near[i].points.Weight...)
				for _, k := range p.near[i].order {
					out[i].order = append(out[i].order, uint32(number)+k)
				}
			}
			number += p.count
			spare.Put(&p.near)
		}
	})
	for i := range out {
		if len(out[i].points.Weight) == 0 {
			out[i].points.Weight = nil
		}
	}
	return out, err
}

// locator finds the few candidates a point may belong to, by a coarse lattice over the space they take up. It works in the
// unit of the scan, so that points which belong nowhere need not be scaled.
type locator struct {
	low, inverse vector
	n            [3]int
	cells        []uint64 // bit i: candidate i reaches in here
}

// mostTogether is the number of candidates a locator can tell apart.
const mostTogether = 64

func newLocator(fits []Fit, reach []float64, scale float64) *locator {
	l := &locator{}
	low, high := vector{math.Inf(1), math.Inf(1), math.Inf(1)}, vector{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	widest := 0.0
	for i, f := range fits {
		r := (f.RadiusMM + reach[i]) / scale * (1 + 1e-9)
		widest = math.Max(widest, r)
		for a := range 3 {
			low[a] = math.Min(low[a], f.CenterMM[a]/scale-r)
			high[a] = math.Max(high[a], f.CenterMM[a]/scale+r)
		}
	}
	l.low = low
	size := 1
	for a := range 3 {
		l.n[a] = max(1, min(64, int((high[a]-low[a])/(widest/3))+1))
		l.inverse[a] = float64(l.n[a]) / (high[a] - low[a])
		size *= l.n[a]
	}
	l.cells = make([]uint64, size)
	for i, f := range fits {
		r := (f.RadiusMM + reach[i]) / scale * (1 + 1e-9)
		var from, to [3]int
		for a := range 3 {
			from[a] = max(0, int((f.CenterMM[a]/scale-r-low[a])*l.inverse[a])-1)
			to[a] = min(l.n[a]-1, int((f.CenterMM[a]/scale+r-low[a])*l.inverse[a])+1)
		}
		for x := from[0]; x <= to[0]; x++ {
			for y := from[1]; y <= to[1]; y++ {
				for z := from[2]; z <= to[2]; z++ {
					l.cells[(x*l.n[1]+y)*l.n[2]+z] |= 1 << i
				}
			}
		}
	}
	return l
}

// visit calls take with candidate and point for every point in a cell that the candidate reaches into.
func (l *locator) visit(xyz []float64, take func(i, k int)) {
	nx, ny, nz := float64(l.n[0]), float64(l.n[1]), float64(l.n[2])
	for j := 0; j+2 < len(xyz); j += 3 {
		x := (xyz[j] - l.low[0]) * l.inverse[0]
		if !(x >= 0 && x < nx) {
			continue
		}
		y := (xyz[j+1] - l.low[1]) * l.inverse[1]
		if !(y >= 0 && y < ny) {
			continue
		}
		z := (xyz[j+2] - l.low[2]) * l.inverse[2]
		if !(z >= 0 && z < nz) {
			continue
		}
		for left := l.cells[(int(x)*l.n[1]+int(y))*l.n[2]+int(z)]; left != 0; left &= left - 1 {
			take(bits.TrailingZeros64(left), j/3)
		}
	}
}
