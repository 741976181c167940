package channel

import "sync"

// taken remembers which recipients a server has taken a message for while it has not taken it for others yet, so that
// sending it again reaches only those. It is kept in memory only: after a restart a message may arrive twice, under the
// same Message-ID.
type taken struct {
	mu    sync.Mutex
	by    map[string]map[string]bool // message -> address
	order []string                   // messages, oldest first
}

// mostTaken bounds the memory. Messages stay here from a partial delivery to its end, which are few at a time.
const mostTaken = 256

func newTaken() *taken { return &taken{by: map[string]map[string]bool{}} }

// has reports whether the message was taken for the address.
func (t *taken) has(message, address string) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.by[message][address]
}

// add notes addresses that the message was taken for.
func (t *taken) add(message string, addresses []string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.by[message] == nil {
		if len(t.order) == mostTaken {
			delete(t.by, t.order[0])
			t.order = t.order[1:]
		}
		t.by[message] = map[string]bool{}
		t.order = append(t.order, message)
	}
	for _, address := range addresses {
		t.by[message][address] = true
	}
}

// forget drops what is known of a message that will not be sent again.
func (t *taken) forget(message string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.by[message] == nil {
		return
	}
	delete(t.by, message)
	for i, known := range t.order {
		if known == message {
			t.order = append(t.order[:i:i], t.order[i+1:]...)
			return
		}
	}
}
