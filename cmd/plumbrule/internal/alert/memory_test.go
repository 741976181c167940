package alert

import (
	"errors"
	"io/fs"
	"slices"
	"syscall"
)

// memory is a folder in memory that fails as disks do: it can be full, it can
// refuse to sync, and the machine can stop at any of its operations.
type memory struct {
	files    map[string]*node
	room     int // bytes it takes in all; below 0: no end
	badSync  bool
	denied   bool // nothing can be opened
	crashAt  int  // operation, from 1, at which the machine stops; 0: never
	done     int  // operations so far
	surprise func(int) int
}

// node is a file: what of it is on the disk for sure, and the rest.
type node struct {
	data   []byte
	synced int
	lost   [][2]int // what a sync that failed gave up, whatever came after
}

func newMemory() *memory { return &memory{files: map[string]*node{}, room: -1} }

// stopped is the panic by which the machine stops.
type stopped struct{}

func (m *memory) step() {
	if m.done++; m.crashAt > 0 && m.done == m.crashAt {
		panic(stopped{})
	}
}

// reboot loses some of what was not on the disk for sure.
func (m *memory) reboot() {
	m.crashAt, m.done, m.badSync, m.denied = 0, 0, false, false
	for _, name := range m.names() {
		n := m.files[name]
		if more := len(n.data) - n.synced; more > 0 {
			keep := more
			if m.surprise != nil {
				keep = m.surprise(more + 1)
			}
			n.data = n.data[:n.synced+keep]
		}
		n.synced = len(n.data)
		for _, hole := range n.lost {
			for i := hole[0]; i < min(hole[1], len(n.data)); i++ {
				n.data[i] = 0
			}
		}
		n.lost = nil
	}
}

func (m *memory) names() []string {
	var out []string
	for name := range m.files {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

func (m *memory) used() (n int) {
	for _, f := range m.files {
		n += len(f.data)
	}
	return n
}

func (m *memory) read(name string) ([]byte, error) {
	if n, ok := m.files[name]; ok {
		return slices.Clone(n.data), nil
	}
	return nil, fs.ErrNotExist
}

func (m *memory) appending(name string) (file, error) {
	m.step()
	if m.denied {
		return nil, fs.ErrPermission
	}
	if m.files[name] == nil {
		m.files[name] = &node{}
	}
	return &handle{m, name, m.files[name]}, nil
}

func (m *memory) create(name string) (file, error) {
	m.step()
	if m.denied {
		return nil, fs.ErrPermission
	}
	m.files[name] = &node{}
	return &handle{m, name, m.files[name]}, nil
}

func (m *memory) rename(from, to string) error {
	m.step()
	n, ok := m.files[from]
	if !ok {
		return fs.ErrNotExist
	}
	delete(m.files, from)
	m.files[to] = n
	m.step()
	return nil
}

func (m *memory) remove(name string) error {
	m.step()
	delete(m.files, name)
	return nil
}

type handle struct {
	memory *memory
	name   string
	node   *node
}

func (h *handle) Write(p []byte) (int, error) {
	n := len(p)
	if m := h.memory; m.room >= 0 && h.there() {
		n = min(n, max(0, m.room-m.used()))
	}
	half := n / 2
	h.node.data = append(h.node.data, p[:half]...)
	h.memory.step() // in the middle of writing
	h.node.data = append(h.node.data, p[half:n]...)
	if n < len(p) {
		return n, syscall.ENOSPC
	}
	return n, nil
}

func (h *handle) Sync() error {
	h.memory.step()
	if h.memory.badSync {
		h.node.lost = append(h.node.lost, [2]int{h.node.synced, len(h.node.data)})
		return errors.New("input/output error")
	}
	h.node.synced = len(h.node.data)
	return nil
}

func (h *handle) Truncate(size int64) error {
	h.memory.step()
	if h.memory.badSync {
		return errors.New("input/output error")
	}
	h.node.data = h.node.data[:size]
	h.node.synced = min(h.node.synced, int(size))
	return nil
}

func (h *handle) Close() error { return nil }

func (h *handle) there() bool { return h.memory.files[h.name] == h.node }
