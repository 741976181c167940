package route

import (
	"cmp"
	"slices"

	"plumbrule/rules/route/graph"
)

// network is a task as a graph. Vertices are the volumes in the order of their names, then the frames that tie more than
// two volumes, in the order of theirs: so the answer does not depend on the order in which the task was written.
type network struct {
	task   *Task
	limit  limit
	graph  *graph.Graph
	names  []string
	volume []int // of each vertex that is a volume, its index in the task
	vertex map[string]int
	ends   map[string]end // by the names that pairs use
	links  []link         // of each edge of the graph
}

// link is what an edge stands for: a join, or a frame between two volumes or from a volume to the frame's own vertex.
type link struct {
	lengthMM float64
	frame    int     // in the task; -1 for a join
	boundUM  float64 // what it adds
}

// network makes the graph; frames false leaves frames out. The task is checked.
func (t *Task) network(frames bool) (*network, error) {
	n := &network{task: t, limit: limitOf(t.MPE), vertex: map[string]int{}}
	for i := range t.Volumes {
		n.volume = append(n.volume, i)
	}
	slices.SortFunc(n.volume, func(a, b int) int { return cmp.Compare(t.Volumes[a].Name, t.Volumes[b].Name) })
	var required []bool
	for v, i := range n.volume {
		n.names = append(n.names, t.Volumes[i].Name)
		n.vertex[t.Volumes[i].Name] = v
		required = append(required, !t.Volumes[i].Bridge)
	}
	n.findEnds()
	for _, p := range t.Pairs {
		for _, name := range []string{p.From, p.To} {
			required[n.ends[name].vertex] = true
		}
	}
	edges := n.joins()
	if frames {
		more, vertices := n.frames()
		edges = append(edges, more...)
		required = append(required, make([]bool, vertices)...)
	}
	var err error
	n.graph, err = graph.New(required, edges)
	return n, err
}

// joins adds the shortest of the joins between each two volumes: a longer one beside it is of no use.
func (n *network) joins() (edges []graph.Edge) {
	for _, j := range n.task.Joins {
		a, b := n.vertex[j.From], n.vertex[j.To]
		edges = append(edges, graph.Edge{A: min(a, b), B: max(a, b), Length: j.LengthMM})
	}
	slices.SortFunc(edges, func(x, y graph.Edge) int {
		return cmp.Or(cmp.Compare(x.A, y.A), cmp.Compare(x.B, y.B), cmp.Compare(x.Length, y.Length))
	})
	edges = slices.CompactFunc(edges, func(x, y graph.Edge) bool { return x.A == y.A && x.B == y.B })
	for _, e := range edges {
		n.links = append(n.links, link{lengthMM: e.Length, frame: -1})
	}
	return edges
}

// frames adds the frames: one that ties two volumes as an edge between them, another as a vertex of its own, half of its
// bound from each volume, so that any two have its bound between them whichever way the tree takes.
func (n *network) frames() (edges []graph.Edge, vertices int) {
	order := make([]int, len(n.task.Frames))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(n.task.Frames[a].Name, n.task.Frames[b].Name) })
	add := func(a, b, frame int, boundUM float64) {
		edges = append(edges, graph.Edge{A: a, B: b, Length: n.limit.asLengthMM(boundUM)})
		n.links = append(n.links, link{frame: frame, boundUM: boundUM})
	}
	for _, i := range order {
		f := &n.task.Frames[i]
		var tied []int
		for _, name := range f.Volumes {
			tied = append(tied, n.vertex[name])
		}
		slices.Sort(tied)
		if len(tied) == 2 {
			add(tied[0], tied[1], i, f.BoundUM)
			continue
		}
		n.vertex[f.Name] = len(n.names)
		n.names = append(n.names, f.Name)
		vertices++
		for _, v := range tied {
			add(v, n.vertex[f.Name], i, f.BoundUM/2)
		}
	}
	return edges, vertices
}
