package scan

import "sync"

// firstError keeps the error of the earliest block. As blocks are begun in order and those begun are finished, it is the
// same one whatever the workers' pace.
type firstError struct {
	mu    sync.Mutex
	block int
	err   error
}

func (f *firstError) note(block int, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.err == nil || block < f.block {
		f.block, f.err = block, err
	}
}

// before tells whether a block before this one had an error, so that this one does not matter any more.
func (f *firstError) before(block int) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.err != nil && f.block < block
}
