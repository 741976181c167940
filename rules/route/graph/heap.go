package graph

// entry is a vertex or an edge with what it is sorted by.
type entry struct {
	key  float64
	item int32
}

func (e entry) before(other entry) bool {
	return e.key < other.key || e.key == other.key && e.item < other.item
}

// push and pop keep the walker's heap, in which each entry has four below it: half as deep as one with two.
func (w *walker) push(e entry) { w.heap = pushed(w.heap, e) }

func (w *walker) pop() entry {
	top := w.heap[0]
	w.heap = popped(w.heap)
	return top
}

func pushed(heap []entry, e entry) []entry {
	heap = append(heap, e)
	at := len(heap) - 1
	for at > 0 {
		above := (at - 1) / 4
		if !e.before(heap[above]) {
			break
		}
		heap[at] = heap[above]
		at = above
	}
	heap[at] = e
	return heap
}

func popped(heap []entry) []entry {
	last := len(heap) - 1
	e := heap[last]
	heap = heap[:last]
	if last > 0 {
		sink(heap, 0, e)
	}
	return heap
}

// sink puts an entry where it belongs at or below a place that is free.
func sink(heap []entry, at int, e entry) {
	for {
		below := 4*at + 1
		if below >= len(heap) {
			break
		}
		least := below
		for i := below + 1; i < min(below+4, len(heap)); i++ {
			if heap[i].before(heap[least]) {
				least = i
			}
		}
		if !heap[least].before(e) {
			break
		}
		heap[at] = heap[least]
		at = least
	}
	heap[at] = e
}

// heaped orders entries as a heap.
func heaped(heap []entry) {
	for at := (len(heap) - 2) / 4; at >= 0 && len(heap) > 1; at-- {
		sink(heap, at, heap[at])
	}
}
