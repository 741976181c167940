package sphere

import (
	"math"
	"sync"
	"sync/atomic"
)

// chunkPoints is the number of points summed before sums are added: fixed, so that no result depends on the number of
// workers.
const chunkPoints = 8192

// inChunks calls work for every chunk of n points, on several goroutines if there are workers, and returns when all is done.
func inChunks(n, workers int, work func(chunk, from, to int)) {
	chunks := (n + chunkPoints - 1) / chunkPoints
	inParallel(chunks, workers, func(c int) { work(c, c*chunkPoints, min(n, (c+1)*chunkPoints)) })
}

// inParallel calls work for every number below n, on several goroutines if there are workers, and returns when all is done.
func inParallel(n, workers int, work func(i int)) {
	if workers = min(workers, n); workers <= 1 {
		for i := range n {
			work(i)
		}
		return
	}
	var next atomic.Int64
	var all sync.WaitGroup
	for range workers {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	all.Wait()
}

// normalSums are the sums of the normal equations of the deviations f = |p − c| − r, linear in the changes of c and r: with
// j = (u, 1), u the direction from c to p.
type normalSums struct {
	jj     [10]float64 // Σ w·j·jᵀ, lower triangle by rows
	jf     [4]float64  // Σ w·j·f
	ff     float64     // Σ w·f²
	w      float64     // Σ w
	points int
}

func (s *normalSums) add(o *normalSums) {
	for i := range s.jj {
		s.jj[i] += o.jj[i]
	}
	for i := range s.jf {
		s.jf[i] += o.jf[i]
	}
	s.ff += o.ff
	s.w += o.w
	s.points += o.points
}

// take adds one point in direction u with deviation f and weight w.
func (s *normalSums) take(ux, uy, uz, f, w float64) {
	wx, wy, wz := float64(w*ux), float64(w*uy), float64(w*uz)
	s.jj[0] += float64(wx * ux)
	s.jj[1] += float64(wy * ux)
	s.jj[2] += float64(wy * uy)
	s.jj[3] += float64(wz * ux)
	s.jj[4] += float64(wz * uy)
	s.jj[5] += float64(wz * uz)
	s.jj[6] += wx
	s.jj[7] += wy
	s.jj[8] += wz
	s.jj[9] += w
	s.jf[0] += float64(wx * f)
	s.jf[1] += float64(wy * f)
	s.jf[2] += float64(wz * f)
	wf := float64(w * f)
	s.jf[3] += wf
	s.ff += float64(wf * f)
	s.w += w
	s.points++
}

// sumsOver forms the sums over the points that are in; nil means all are. power is that of the weights: 1 for the fit, 2 for
// its covariance.
func sumsOver(p Points, in []bool, c vector, r float64, power, workers int) normalSums {
	n := p.Len()
	parts := make([]normalSums, (n+chunkPoints-1)/chunkPoints)
	inChunks(n, workers, func(chunk, from, to int) {
		var s normalSums
		for i := from; i < to; i++ {
			if in != nil && !in[i] {
				continue
			}
			x, y, z := p.XYZ[3*i]-c[0], p.XYZ[3*i+1]-c[1], p.XYZ[3*i+2]-c[2]
			d := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
			f := d - r
			w := p.weight(i)
			if power == 2 {
				w = float64(w * w)
			}
			inverse := 0.0
			if d > 0 {
				inverse = 1 / d
			}
			s.take(float64(x*inverse), float64(y*inverse), float64(z*inverse), f, w)
		}
		parts[chunk] = s
	})
	var sum normalSums
	for i := range parts {
		sum.add(&parts[i])
	}
	return sum
}

// at returns an element of the symmetric matrix Σ w·j·jᵀ.
func (s *normalSums) at(i, k int) float64 {
	if k > i {
		i, k = k, i
	}
	return s.jj[i*(i+1)/2+k]
}
