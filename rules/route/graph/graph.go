package graph

import (
	"fmt"
	"math"
)

// Edge joins two vertices.
type Edge struct {
	A, B   int
	Length float64 // 0 or more
}

// Graph is an undirected graph. It is not changed once made, and may be used by several goroutines.
type Graph struct {
	edges    []Edge
	required []bool
	terminal []int32 // the required vertices
	first    []int32 // of each vertex, where its arcs begin
	arcs     []arc
}

// arc is an edge seen from one of its ends.
type arc struct {
	length   float64
	to, edge int32
}

// Largest sizes, which keep numbers of vertices and arcs within 32 bits.
const (
	mostVertices = 1 << 24
	mostEdges    = 1 << 28
)

// New makes a graph of as many vertices as required has entries; those that are true must be reached by a tree. Edges may
// be parallel. Refused are more than 2^24 vertices or 2^28 edges, an edge from a vertex to itself or to one that is not
// there, and a length that is below 0, no number or infinite; the error names the edge by its index.
func New(required []bool, edges []Edge) (*Graph, error) {
	n := len(required)
	if n > mostVertices || len(edges) > mostEdges {
		return nil, fmt.Errorf("%d vertices and %d edges, expected at most %d and %d", n, len(edges), mostVertices, mostEdges)
	}
	g := &Graph{edges: edges, required: required, first: make([]int32, n+1), arcs: make([]arc, 2*len(edges))}
	for i, e := range edges {
		switch {
		case e.A < 0 || e.B < 0 || e.A >= n || e.B >= n:
			return nil, fmt.Errorf("edge %d joins the vertices %d and %d, expected vertices from 0 to %d", i, e.A, e.B, n-1)
		case e.A == e.B:
			return nil, fmt.Errorf("edge %d joins the vertex %d to itself, expected two vertices", i, e.A)
		case !(e.Length >= 0) || math.IsInf(e.Length, 0):
			return nil, fmt.Errorf("edge %d has the length %g, expected a number of 0 or more", i, e.Length)
		}
		g.first[e.A+1]++
		g.first[e.B+1]++
	}
	for v := range n {
		g.first[v+1] += g.first[v]
		if required[v] {
			g.terminal = append(g.terminal, int32(v))
		}
	}
	next := append([]int32(nil), g.first[:n]...)
	for i, e := range edges {
		g.arcs[next[e.A]] = arc{e.Length, int32(e.B), int32(i)}
		g.arcs[next[e.B]] = arc{e.Length, int32(e.A), int32(i)}
		next[e.A]++
		next[e.B]++
	}
	return g, nil
}

// Vertices returns the number of vertices.
func (g *Graph) Vertices() int { return len(g.required) }

// Edges returns the edges, not to be changed.
func (g *Graph) Edges() []Edge { return g.edges }

// Required tells whether a vertex must be reached by a tree.
func (g *Graph) Required(vertex int) bool { return g.required[vertex] }

// around returns the arcs of a vertex.
func (g *Graph) around(v int32) []arc { return g.arcs[g.first[v]:g.first[v+1]] }

// stepsOfRun is the work of one search for shortest paths.
func (g *Graph) stepsOfRun() int64 { return int64(len(g.required) + len(g.arcs)) }

// Parts returns the number of the connected part of each vertex, parts counted from 0 in the order of their first vertices.
func (g *Graph) Parts() (of []int, count int) {
	of = make([]int, len(g.required))
	for v := range of {
		of[v] = -1
	}
	var stack []int32
	for v := range of {
		if of[v] >= 0 {
			continue
		}
		of[v] = count
		stack = append(stack, int32(v))
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, a := range g.around(at) {
				if of[a.to] < 0 {
					of[a.to] = count
					stack = append(stack, a.to)
				}
			}
		}
		count++
	}
	return of, count
}

// connected tells whether the required vertices lie in one part.
func (g *Graph) connected() bool {
	if len(g.terminal) == 0 {
		return true
	}
	of, _ := g.Parts()
	for _, v := range g.terminal {
		if of[v] != of[g.terminal[0]] {
			return false
		}
	}
	return true
}
