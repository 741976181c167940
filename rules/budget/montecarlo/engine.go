package montecarlo

import (
	"math"
	"sync"
	"sync/atomic"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/random"
)

const (
	chunkTrials = 10_000 // with one stream of random numbers; the least sequence of JCGM 101:2008 7.9.4 too
	blockTrials = 500    // evaluated at a time: a handful of vectors of this length stay in a processor's first cache
)

// engine runs chunks of trials one after the other, each by one of its workers.
type engine struct {
	problem *Problem
	workers []*worker
	next    random.Generator // the stream of the next chunk
	chunks  int              // run so far
}

// worker has all that a chunk needs and nothing that is shared.
type worker struct {
	sampler   *random.Sampler
	evaluator *expression.Evaluator
}

func newEngine(p *Problem, seed uint64, workers int) *engine {
	e := &engine{problem: p, next: random.NewGenerator(seed)}
	for range max(1, workers) {
		e.workers = append(e.workers, &worker{sampler: random.NewSampler(), evaluator: p.model.Evaluator(blockTrials, p.fixed)})
	}
	return e
}

// run does as many further trials as there is room in values, and returns the moments of each chunk. Only the last chunk
// of a whole run may be a part of one.
func (e *engine) run(values []float64) ([]moments, error) {
	n := (len(values) + chunkTrials - 1) / chunkTrials
	streams := make([]random.Generator, n)
	for i := range streams {
		streams[i] = e.next
		e.next.Jump()
	}
	out := make([]moments, n)
	var turn, failed atomic.Int64
	failed.Store(math.MaxInt64)
	var done sync.WaitGroup
	for _, w := range e.workers[:min(len(e.workers), n)] {
		done.Go(func() {
			for {
				// Chunks are taken in their order and always finished, so the first that fails is the same however many work.
				i := int(turn.Add(1) - 1)
				if i >= n || failed.Load() < int64(i) {
					return
				}
				chunk := values[i*chunkTrials : min(len(values), (i+1)*chunkTrials)]
				if !w.run(e.problem, streams[i], chunk) {
					lower(&failed, int64(i))
					return
				}
				out[i] = momentsOf(chunk, e.problem.centre)
			}
		})
	}
	done.Wait()
	if i := failed.Load(); i != math.MaxInt64 {
		first := int(i) * chunkTrials
		return nil, e.problem.failure(e.workers[0].sampler, streams[i], e.chunks*chunkTrials+first, min(chunkTrials, len(values)-first))
	}
	e.chunks += n
	return out, nil
}

func lower(v *atomic.Int64, to int64) {
	for {
		now := v.Load()
		if now <= to || v.CompareAndSwap(now, to) {
			return
		}
	}
}

// run fills one chunk; false if a trial has no value.
func (w *worker) run(p *Problem, stream random.Generator, chunk []float64) bool {
	w.sampler.Restart(stream)
	for len(chunk) > 0 {
		n := min(blockTrials, len(chunk))
		p.draw(w.sampler, func(i int) []float64 { return w.evaluator.Input(i)[:n] })
		result, ok := w.evaluator.Run(n)
		if !ok {
			return false
		}
		copy(chunk, result)
		chunk = chunk[n:]
	}
	return true
}
