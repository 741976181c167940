package scan

import "sync"

// meterStep is after how many bytes progress is told again.
const meterStep = 1 << 20

// meter tells how far a pass over a file has come. A nil meter tells nobody.
type meter struct {
	tell        func(done, total int64)
	mu          sync.Mutex
	done, total int64
	told        int64
}

// meter makes the one for a pass over the file of in.
func (r Reading) meter(in *input) *meter {
	if r.Progress == nil {
		return nil
	}
	return &meter{tell: r.Progress, total: in.bytes}
}

// add notes that n further bytes of the file were read; from any goroutine.
func (m *meter) add(n int64) {
	if m == nil || n <= 0 {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.done = min(m.done+n, m.total)
	if m.done-m.told >= meterStep || m.done == m.total && m.told != m.total {
		m.told = m.done
		m.tell(m.done, m.total)
	}
}
