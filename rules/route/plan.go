package route

import (
	"fmt"

	"plumbrule/rules/route/graph"
)

// Effort bounds the work of a search, in steps: a search for shortest paths takes one for each volume and two for each
// join. Work is counted and not timed, so that the same task has the same answer on every machine.
type Effort int64

// UsualEffort is enough to prove the answer for 10 000 volumes with 100 000 joins around a part, and lasts some seconds at
// most.
const UsualEffort Effort = 2e8

// Plan is a way of joining.
type Plan struct {
	Centre Centre
	Links  []Link // the joins and frames to use, in the order of scanning
	Order  []Step // the order in which to scan
	Worst  Way    // of the pairs that count, the one with the greatest bound or, with tolerances, the greatest share of it
	Pairs  []Way  // those of the task, in its order; none where all pairs count
	Proof  Proof
	Notes  []string // what should be known beside the figures

	net  *network
	tree *graph.Tree
	work int64
}

// Centre is the middle of the tree, from which the farthest volume is nearest.
type Centre struct {
	Name     string  // of the volume or frame; empty on a join
	From, To string  // the ends of the join that it lies on; empty on a volume
	AlongMM  float64 // on a join: the length from From
}

// Link is one of the joins in use, or a frame in use between two volumes. A frame that ties more than two volumes has one
// link for each volume, to the frame.
type Link struct {
	From, To string
	LengthMM float64
	Frame    string  // its name; empty for a join
	BoundUM  float64 // what it adds to the bound of every path over it; 0 for a join
}

// Proof says how far it is known that no other way of joining is better.
type Proof struct {
	Optimal      bool
	LeastBoundUM float64 // the worst bound is not less than this in any tree; with tolerances not filled
	LeastShare   float64 // with tolerances: the worst share is not less than this in any tree
	Reason       string  // why it is not proven; empty: it is
}

// Find plans how the volumes of a task are joined. Where all pairs count, the tree has the shortest longest path of all
// trees; where pairs are named, the worst of their bounds, or of their shares of tolerances, is the least, as far as Proof
// says. An effort of 0 is [UsualEffort]. The error is an [*InputError], or an [*ApartError] where volumes cannot be joined.
func Find(task Task, effort Effort) (*Plan, error) {
	if effort == 0 {
		effort = UsualEffort
	}
	if err := task.check(); err != nil {
		return nil, err
	}
	return find(task, effort)
}

// find plans for a task that is checked.
func find(task Task, effort Effort) (*Plan, error) {
	n, err := task.network(true)
	if err != nil {
		return nil, fmt.Errorf("joining: %w", err)
	}
	if err := n.apart(); err != nil {
		return nil, err
	}
	p := &Plan{net: n}
	between, inside := n.demands()
	if len(between) > 0 {
		err = p.serve(between, effort)
	} else {
		err = p.centre(effort)
	}
	if err != nil {
		return nil, fmt.Errorf("joining: %w", err)
	}
	p.lay()
	p.judge(inside)
	p.note()
	return p, nil
}

// centre joins for all pairs.
func (p *Plan) centre(effort Effort) error {
	c, err := p.net.graph.Centre(int64(effort))
	if err != nil {
		return err
	}
	p.tree, p.work = p.net.graph.ShortestTree(c), c.Work
	p.Proof = Proof{Optimal: c.Proven, LeastBoundUM: p.net.limit.roughUM(2 * c.AtLeast)}
	if !c.Proven {
		p.Proof.Reason = fmt.Sprintf("the search for the centre ended after %d steps", c.Work)
	}
	return nil
}

// serve joins for named pairs.
func (p *Plan) serve(between []demand, effort Effort) error {
	demands := make([]graph.Demand, len(between))
	for i, d := range between {
		demands[i] = graph.Demand{A: d.a.vertex, B: d.b.vertex}
	}
	s, err := p.net.graph.Serve(demands, func(i int, length float64) float64 {
		return between[i].weight * p.net.limit.roughUM(length+between[i].asideMM)
	}, int64(effort))
	if err != nil {
		return err
	}
	p.tree, p.work = s.Tree, s.Work
	p.Proof = Proof{Optimal: s.Proven}
	if p.net.task.Pairs[0].ToleranceUM > 0 {
		p.Proof.LeastShare = s.AtLeast
	} else {
		p.Proof.LeastBoundUM = s.AtLeast
	}
	switch {
	case s.Proven:
	case len(p.net.names) > graph.MostExact:
		p.Proof.Reason = fmt.Sprintf("all trees are searched for up to %d volumes; this is the best of the trees around single volumes, with joins exchanged as long as that helped", graph.MostExact)
	default:
		p.Proof.Reason = fmt.Sprintf("the search of all trees ended after %d steps", s.Work)
	}
	return nil
}

// lay roots the tree at its middle and puts it in the order of scanning.
func (p *Plan) lay() {
	n, c := p.net, p.tree.Middle()
	root := c.Vertex
	if c.Edge >= 0 {
		e := n.graph.Edges()[c.Edge]
		p.Centre = Centre{From: n.names[e.A], To: n.names[e.B]}
		if n.links[c.Edge].frame < 0 {
			p.Centre.AlongMM = c.Along
		}
		root = e.A
		if e.Length-c.Along < c.Along*(1-1e-9) { // nearer, but for rounding
			root = e.B
		}
	} else {
		p.Centre = Centre{Name: n.names[root]}
	}
	p.tree = n.graph.Tree(root, p.tree.Edges)
	p.scan()
}
