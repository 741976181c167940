package graph

import "math"

// start is where a search for shortest paths begins: a vertex, and the length that leads there.
type start struct {
	vertex int32
	length float64
}

// walker finds shortest paths from one or a few places to all vertices (Dijkstra 1959, Numerische Mathematik 1, 269–271).
// It keeps its memory from run to run.
type walker struct {
	g    *Graph
	dist []float64 // infinite where no path leads
	via  []int32   // the edge by which the path comes; -1 for a start and where no path leads
	heap []entry
	work int64 // steps so far, as [Graph.stepsOfRun] counts them

	touched []int32 // what a search that ended early has to put back
}

func (g *Graph) walker() *walker {
	w := &walker{g: g, dist: make([]float64, len(g.required)), via: make([]int32, len(g.required))}
	w.forget()
	return w
}

func (w *walker) forget() {
	for v := range w.dist {
		w.dist[v], w.via[v] = math.Inf(1), -1
	}
}

// run finds the paths. Of two of the same length the one that was found first stays: vertices are settled in the order of
// length, then number.
func (w *walker) run(starts ...start) {
	w.forget()
	w.heap = w.heap[:0]
	for _, s := range starts {
		if s.length < w.dist[s.vertex] {
			w.dist[s.vertex] = s.length
			w.push(entry{s.length, s.vertex})
		}
	}
	for len(w.heap) > 0 {
		at := w.pop()
		if at.key > w.dist[at.item] {
			continue // settled by a shorter path before
		}
		for _, a := range w.g.around(at.item) {
			if length := at.key + a.length; length < w.dist[a.to] {
				w.dist[a.to], w.via[a.to] = length, a.edge
				w.push(entry{length, a.to})
			}
		}
	}
	w.work += w.g.stepsOfRun()
}

// farthest returns the required vertex at the greatest distance, of equals the one with the lowest number.
func (w *walker) farthest() (vertex int32, length float64) {
	vertex, length = -1, math.Inf(-1)
	for _, v := range w.g.terminal {
		if w.dist[v] > length {
			vertex, length = v, w.dist[v]
		}
	}
	return vertex, length
}
