package sphere

import (
	"context"
	"math"
	"slices"
	"sync"
)

// Source gives the points of a scan, as often as asked, in blocks.
type Source interface {
	// Estimate returns about how many points there are. It decides how thinly they are sampled, nothing else.
	Estimate() int64

	// Blocks passes over all points and calls visit for each block, concurrently and in any order. Blocks are numbered
	// from 0 in the order of the scan and are the same in every pass; xyz is valid during the visit only. weight is nil
	// unless points count differently.
	Blocks(ctx context.Context, visit func(index int, xyz, weight []float64) error) error
}

// sampled are points of a scan, evenly thinned.
type sampled struct {
	points Points
	total  int64   // points of the whole scan
	stride int     // one in so many was taken
	reach  float64 // the largest coordinate, mm
}

// sampleOf takes about wanted points of a source, scaled to millimetres, in the order of the scan.
func sampleOf(ctx context.Context, source Source, scale float64, wanted int) (sampled, error) {
	s := sampled{stride: max(1, int(math.Ceil(float64(source.Estimate())/float64(wanted))))}
	type part struct {
		index int
		xyz   []float64
		n     int64
		reach float64
	}
	var mutex sync.Mutex
	var parts []part
	err := source.Blocks(ctx, func(index int, xyz, _ []float64) error {
		p := part{index: index, n: int64(len(xyz) / 3)}
		for _, v := range xyz {
			if v = math.Abs(v); v > p.reach {
				p.reach = v
			}
		}
		// Each block begins at another phase, so that no pattern of the file's falls together with the sampling's.
		for i := index * 7919 % s.stride; i < len(xyz)/3; i += s.stride {
			p.xyz = append(p.xyz, xyz[3*i]*scale, xyz[3*i+1]*scale, xyz[3*i+2]*scale)
		}
		mutex.Lock()
		defer mutex.Unlock()
		parts = append(parts, p)
		return nil
	})
	if err != nil {
		return s, err
	}
	slices.SortFunc(parts, func(a, b part) int { return a.index - b.index })
	for _, p := range parts {
		s.points.XYZ = append(s.points.XYZ, p.xyz...)
		s.total += p.n
		s.reach = math.Max(s.reach, p.reach*scale)
	}
	return s, nil
}
