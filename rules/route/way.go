package route

import (
	"fmt"

	"plumbrule/rules/figure"
	"plumbrule/rules/route/space"
)

// Way is the path between two volumes or features, and the bound over it.
type Way struct {
	From, To    string   // as the pair names them
	Through     []string // volumes and frames from the one to the other, both volumes included
	PathMM      float64  // path travelled
	BoundUM     float64
	ToleranceUM float64       // 0: not stated
	Share       figure.Figure // the bound over the tolerance
}

// Between returns the way between two volumes or features of the task along the tree. Two features in one volume have the
// straight line between them as their path. The error is an [*InputError] for a name that is not there or that stands for
// both ends.
func (p *Plan) Between(from, to string) (Way, error) {
	a, is := p.net.ends[from]
	if !is {
		return Way{}, unknown(from, p.net.tellable(), "volume or feature", "pair", -1, "from")
	}
	b, is := p.net.ends[to]
	if !is {
		return Way{}, unknown(to, p.net.tellable(), "volume or feature", "pair", -1, "to")
	}
	switch {
	case from == to:
		return Way{}, refuse("pair", -1, "to", fmt.Sprintf("%q is where it begins too", to), "two features or volumes", "name the other end")
	case !p.tree.Has(a.vertex) || !p.tree.Has(b.vertex):
		return Way{}, refuse("pair", -1, "", fmt.Sprintf("%q or %q is a bridge that is not used", from, to), "volumes that are scanned", "name the pair in the task")
	}
	return p.between(from, to, a, b, 0), nil
}

func (n *network) tellable() (all []string) {
	all = append(all, n.names[:len(n.volume)]...)
	for _, f := range n.task.Features {
		all = append(all, f.Name)
	}
	return all
}

func (p *Plan) between(from, to string, a, b end, toleranceUM float64) Way {
	w := Way{From: from, To: to}
	frameUM := 0.0
	if a.vertex == b.vertex {
		w.Through = []string{p.net.names[a.vertex]}
		w.PathMM = space.Distance(a.at, b.at)
	} else {
		vertices, _ := p.tree.Way(a.vertex, b.vertex)
		w.PathMM = a.asideMM
		for i, v := range vertices {
			w.Through = append(w.Through, p.net.names[v])
			if i == 0 {
				continue
			}
			l := p.net.links[p.edge(vertices[i-1], v)]
			w.PathMM += l.lengthMM
			frameUM += l.boundUM
		}
		w.PathMM += b.asideMM
	}
	w.finish(p.net.limit, frameUM, toleranceUM)
	return w
}

// finish fills in the bound and the share.
func (w *Way) finish(l limit, frameUM, toleranceUM float64) {
	w.BoundUM, w.ToleranceUM = l.boundUM(w.PathMM, frameUM), toleranceUM
	w.Share = figure.Absent("no tolerance is stated")
	if toleranceUM > 0 {
		w.Share = figure.Known(w.BoundUM / toleranceUM)
	}
}

// edge returns the edge between two neighbours in the tree.
func (p *Plan) edge(v, w int) int {
	if above, e := p.tree.Above(v); above == w {
		return e
	}
	_, e := p.tree.Above(w)
	return e
}

// worse tells whether one way counts as worse than another: by the share of the tolerance, then the bound, then the path.
func (w *Way) worse(than *Way) bool {
	if w.Share.Value != nil && than.Share.Value != nil && *w.Share.Value != *than.Share.Value {
		return *w.Share.Value > *than.Share.Value
	}
	if w.BoundUM != than.BoundUM {
		return w.BoundUM > than.BoundUM
	}
	return w.PathMM > than.PathMM
}

// worst returns the worst of some ways, the first of equals.
func worst(ways []Way) Way {
	out := ways[0]
	for _, w := range ways[1:] {
		if w.worse(&out) {
			out = w
		}
	}
	return out
}

// judge fills in the ways that count and the worst of them.
func (p *Plan) judge(inside []demand) {
	n := p.net
	if len(n.task.Pairs) == 0 {
		from, to, _ := p.tree.Longest()
		p.Worst = p.between(n.names[from], n.names[to], n.ends[n.names[from]], n.ends[n.names[to]], 0)
		p.settle()
		return
	}
	for _, pair := range n.task.Pairs {
		p.Pairs = append(p.Pairs, p.between(pair.From, pair.To, n.ends[pair.From], n.ends[pair.To], pair.ToleranceUM))
	}
	p.Worst = worst(p.Pairs)
	// A pair inside one volume is the same in every tree.
	for _, d := range inside {
		w := &p.Pairs[d.pair]
		if w.Share.Value != nil {
			p.Proof.LeastShare = max(p.Proof.LeastShare, *w.Share.Value)
		} else {
			p.Proof.LeastBoundUM = max(p.Proof.LeastBoundUM, w.BoundUM)
		}
	}
	p.settle()
}

// settle makes the proof agree with the worst way: a bound at or above it, rounding aside, proves it.
func (p *Plan) settle() {
	least, worst := &p.Proof.LeastBoundUM, p.Worst.BoundUM
	if p.Worst.Share.Value != nil {
		least, worst = &p.Proof.LeastShare, *p.Worst.Share.Value
	}
	if p.Proof.Optimal || *least >= worst*(1-1e-10) {
		*least, p.Proof.Optimal, p.Proof.Reason = worst, true, ""
	}
}
