package route

import "plumbrule/rules/route/space"

// end is where a pair begins or ends: the vertex of its volume, the place, and how far that is from the volume's middle.
type end struct {
	vertex  int
	at      space.Point
	asideMM float64
}

// findEnds finds the ends of all pairs, which are there in a checked task.
func (n *network) findEnds() {
	n.ends = make(map[string]end, len(n.vertex)+len(n.task.Features))
	for v, i := range n.volume {
		n.ends[n.names[v]] = end{vertex: v, at: n.task.Volumes[i].At}
	}
	for _, f := range n.task.Features {
		v := &n.task.Volumes[n.task.volumeOf(f)]
		n.ends[f.Name] = end{n.vertex[v.Name], f.At, space.Distance(v.At, f.At)}
	}
}

// demand is a pair as the search knows it: two volumes, and what features aside of their middles add.
type demand struct {
	pair    int // in the task
	a, b    end
	asideMM float64
	weight  float64 // 1, or 1 over the tolerance in µm
}

// demands returns the pairs between different volumes, and those inside one.
func (n *network) demands() (between, inside []demand) {
	for i, p := range n.task.Pairs {
		d := demand{pair: i, a: n.ends[p.From], b: n.ends[p.To], weight: 1}
		d.asideMM = d.a.asideMM + d.b.asideMM
		if p.ToleranceUM > 0 {
			d.weight = 1 / p.ToleranceUM
		}
		if d.a.vertex == d.b.vertex {
			inside = append(inside, d)
		} else {
			between = append(between, d)
		}
	}
	return between, inside
}
