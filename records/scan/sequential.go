package scan

import (
	"context"
	"sync"
)

// sequential reads what has to be walked from its start: one goroutine decodes, the workers visit.
type sequential struct {
	in *input

	// decode walks over the whole file, gives each record to the filler and returns what finds.tally says in the end.
	// It is called anew for each pass, several of which may go on at a time, and returns at once with an error it gets
	// from the filler. The streams it opens take the context and the meter.
	decode func(ctx context.Context, m *meter, out *filler) (Tally, error)
}

func (s *sequential) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	workers := max(how.Workers, 1)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	full, free := make(chan *Block, workers), make(chan *Block, 2*workers+1)
	for range cap(free) {
		free <- &Block{}
	}
	var first firstError
	var visitors sync.WaitGroup
	for range workers {
		visitors.Go(func() {
			for b := range full {
				if b.Len() > 0 {
					if err := visit(b); err != nil {
						first.note(b.Index, err)
						cancel()
					}
				}
				free <- b // there is room for all
			}
		})
	}
	out := &filler{
		fetch: func() (*Block, error) { return receive(ctx, free) },
		send:  func(b *Block) error { return send(ctx, full, b) },
	}
	t, err := s.decode(ctx, how.meter(s.in), out)
	if err == nil {
		err = out.flush()
	}
	close(full)
	visitors.Wait()
	if first.err != nil {
		return Tally{}, first.err // the block came before what the decoder met
	}
	if err != nil {
		return Tally{}, err
	}
	return t, nil
}

// send and receive give up at the end of the context.
func send[T any](ctx context.Context, to chan<- T, v T) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	select {
	case to <- v:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func receive[T any](ctx context.Context, from <-chan T) (v T, err error) {
	if err := ctx.Err(); err != nil {
		return v, err
	}
	select {
	case v = <-from:
		return v, nil
	case <-ctx.Done():
		return v, ctx.Err()
	}
}
