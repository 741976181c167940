package sphere_test

import (
	"context"
	"sync"

	"plumbrule/rules/sphere"
)

// inMemory is a source of points held in memory, in blocks of another size than those of the sums.
type inMemory struct{ p sphere.Points }

func (m inMemory) Estimate() int64 { return int64(m.p.Len()) }

func (m inMemory) Blocks(_ context.Context, visit func(index int, xyz, weight []float64) error) error {
	const size = 5000
	var all sync.WaitGroup
	var failed error
	var once sync.Once
	next := make(chan int)
	for range 3 {
		all.Go(func() {
			for i := range next {
				from, to := i*size, min(m.p.Len(), (i+1)*size)
				var weight []float64
				if m.p.Weight != nil {
					weight = m.p.Weight[from:to]
				}
				if err := visit(i, m.p.XYZ[3*from:3*to], weight); err != nil {
					once.Do(func() { failed = err })
				}
			}
		})
	}
	for i := 0; i*size < m.p.Len(); i++ {
		next <- i
	}
	close(next)
	all.Wait()
	return failed
}
