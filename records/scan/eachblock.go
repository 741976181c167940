package scan

import (
	"context"
	"sync"
	"sync/atomic"
)

// eachBlock has workers do the blocks numbered from 0, each worker by a function of its own, and returns the error of the
// first block that has one, or that of the context. No goroutine is left when it returns.
func eachBlock(ctx context.Context, workers, blocks int, worker func() (do func(block int) error)) error {
	var next atomic.Int64
	var first firstError
	work := func() {
		do := worker()
		for ctx.Err() == nil {
			block := int(next.Add(1) - 1)
			if block >= blocks || first.before(block) {
				return
			}
			if err := do(block); err != nil {
				first.note(block, err)
				return
			}
		}
	}
	var others sync.WaitGroup
	for range min(workers, blocks) - 1 {
		others.Go(work)
	}
	work()
	others.Wait()
	if first.err != nil {
		return first.err
	}
	return ctx.Err()
}
