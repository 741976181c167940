package graph

import (
	"math"
	"slices"
)

// Leg is one part of a walk: the shortest way from one vertex to the next.
type Leg struct {
	Way    []int // vertices, both ends included
	Length float64
}

// Leg returns the shortest way between two vertices; ok is false where none leads. Where an edge joins the two, it is the
// way, the shortest of parallel ones: who walks from one to the next does not look for a detour.
func (g *Graph) Leg(from, to int) (leg Leg, ok bool) {
	length := math.Inf(1)
	for _, a := range g.around(int32(from)) {
		if int(a.to) == to {
			length = min(length, a.length)
		}
	}
	if !math.IsInf(length, 1) {
		return Leg{[]int{from, to}, length}, true
	}
	return g.walker().nearest(from, func(v int) bool { return v == to })
}

// Tour walks from a vertex to the nearest that is wanted and not yet visited, and from there on until none is left that can
// be reached: the nearest-neighbour tour. The first vertex need not be wanted.
func (g *Graph) Tour(from int, wanted []bool) []Leg {
	open := slices.Clone(wanted)
	open[from] = false
	w := g.walker()
	var out []Leg
	for {
		leg, ok := w.nearest(from, func(v int) bool { return open[v] })
		if !ok {
			return out
		}
		from = leg.Way[len(leg.Way)-1]
		open[from] = false
		out = append(out, leg)
	}
}

// nearest finds the nearest vertex that is wanted, of equals the one with the lowest number. It looks no
// farther than that. The walker must be new, or have been used for nothing else.
func (w *walker) nearest(from int, wanted func(int) bool) (leg Leg, ok bool) {
	defer func() {
		for _, v := range w.touched {
			w.dist[v], w.via[v] = math.Inf(1), -1
		}
		w.touched = w.touched[:0]
	}()
	w.heap = append(w.heap[:0], entry{0, int32(from)})
	w.dist[from] = 0
	w.touched = append(w.touched, int32(from))
	for len(w.heap) > 0 {
		at := w.pop()
		if at.key > w.dist[at.item] {
			continue
		}
		if wanted(int(at.item)) {
			return w.legTo(from, at.item), true
		}
		for _, a := range w.g.around(at.item) {
			if length := at.key + a.length; length < w.dist[a.to] {
				if math.IsInf(w.dist[a.to], 1) {
					w.touched = append(w.touched, a.to)
				}
				w.dist[a.to], w.via[a.to] = length, a.edge
				w.push(entry{length, a.to})
			}
		}
	}
	return Leg{}, false
}

func (w *walker) legTo(from int, to int32) Leg {
	leg := Leg{Way: []int{int(to)}, Length: w.dist[to]}
	for v := int(to); v != from; {
		e := w.g.edges[w.via[v]]
		v = e.A + e.B - v
		leg.Way = append(leg.Way, v)
	}
	slices.Reverse(leg.Way)
	return leg
}
