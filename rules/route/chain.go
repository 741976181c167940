package route

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/route/space"
)

// Chain is what comes of scanning volume after volume, each joined to the one before: as a person goes who does not branch
// out.
type Chain struct {
	Order    []string // volumes
	Legs     []Leg    // between each and the next
	LengthMM float64  // of all legs
	Worst    Way      // of the pairs that count and lie on the chain
	Pairs    []Way    // those of the task that lie on the chain, in its order
	LeftOut  []string // volumes that are no bridges and not in the chain
}

// Leg joins a volume of a chain to the one before.
type Leg struct {
	Through  []string // both ends included; more than two volumes where no join leads there directly
	LengthMM float64
}

// Chain computes a chain in a given order. Volumes that are bridges may be left out, and so may others, which is said. Where
// no join leads from a volume to the next, the shortest way over joins is taken; frames do not count, since a chain with them
// would be none. The error is an [*InputError] with the list "chain" for a name that is no volume or stands twice, an order of
// less than two volumes that are no bridges, a volume to which no joins lead, and where no pair that counts lies on the chain.
func (p *Plan) Chain(order []string) (*Chain, error) {
	n, err := p.net.task.network(false)
	if err != nil {
		return nil, fmt.Errorf("the chain: %w", err)
	}
	place := map[int]int{} // of each vertex, where it stands in the chain
	c := &Chain{Order: order}
	for i, name := range order {
		v, is := n.vertex[name]
		if !is {
			return nil, unknown(name, n.names, "volume", "chain", i, "")
		}
		if _, twice := place[v]; twice {
			return nil, refuse("chain", i, "", fmt.Sprintf("%q stands in it twice", name), "each volume once", "leave one out; a ring that closes is no chain")
		}
		place[v] = i
		if i == 0 {
			continue
		}
		leg, ok := n.graph.Leg(n.vertex[order[i-1]], v)
		if !ok {
			return nil, refuse("chain", i, "", fmt.Sprintf("%q, to which no joins lead from %q", name, order[i-1]), "volumes that joins connect", "leave it out, or join it")
		}
		c.Legs = append(c.Legs, Leg{n.called(leg.Way), leg.Length})
		c.LengthMM += leg.Length
	}
	for v := range n.volume {
		if _, is := place[v]; !is && n.graph.Required(v) {
			c.LeftOut = append(c.LeftOut, n.names[v])
		}
	}
	return c, c.judge(n, place)
}

func (n *network) called(vertices []int) (out []string) {
	for _, v := range vertices {
		out = append(out, n.names[v])
	}
	return out
}

// judge fills in the ways that count.
func (c *Chain) judge(n *network, place map[int]int) error {
	between := func(from, to string, toleranceUM float64) (Way, bool) {
		a, b := n.ends[from], n.ends[to]
		i, isA := place[a.vertex]
		j, isB := place[b.vertex]
		w := Way{From: from, To: to, PathMM: a.asideMM + b.asideMM}
		if a.vertex == b.vertex {
			w.PathMM = space.Distance(a.at, b.at)
		}
		i, j, back := min(i, j), max(i, j), i > j
		if isA && isB {
			for _, leg := range c.Legs[i:j] {
				w.PathMM += leg.LengthMM
			}
			w.Through = slices.Clone(c.Order[i : j+1])
			if back {
				slices.Reverse(w.Through)
			}
		}
		w.finish(n.limit, 0, toleranceUM)
		return w, isA && isB
	}
	if len(n.task.Pairs) == 0 {
		first, last := -1, -1
		for i, name := range c.Order {
			if n.graph.Required(n.vertex[name]) {
				if last = i; first < 0 {
					first = i
				}
			}
		}
		if first == last {
			return refuse("chain", -1, "", "fewer than two volumes that are no bridges", "two or more", "name the volumes in the order in which they are scanned")
		}
		c.Worst, _ = between(c.Order[first], c.Order[last], 0)
		return nil
	}
	for _, p := range n.task.Pairs {
		if w, is := between(p.From, p.To, p.ToleranceUM); is {
			c.Pairs = append(c.Pairs, w)
		}
	}
	if len(c.Pairs) == 0 {
		return refuse("chain", -1, "", "no pair that counts has both its volumes in it", "one or more", "name the volumes in the order in which they are scanned")
	}
	c.Worst = worst(c.Pairs)
	return nil
}

// NearestOrder returns the order of one who goes from a volume to the nearest that is not scanned yet, over joins; bridges
// are passed through and not counted. An empty name begins at the first volume of the task that is no bridge. Volumes to which
// only frames lead are left out. A name that is no volume gives none.
func (p *Plan) NearestOrder(from string) []string {
	n, err := p.net.task.network(false)
	if err != nil {
		return nil
	}
	for _, v := range p.net.task.Volumes {
		if from == "" && n.graph.Required(n.vertex[v.Name]) {
			from = v.Name
		}
	}
	start, is := n.vertex[from]
	if !is {
		return nil
	}
	wanted := make([]bool, len(n.names))
	for v := range n.names {
		wanted[v] = n.graph.Required(v)
	}
	out := []string{from}
	for _, leg := range n.graph.Tour(start, wanted) {
		out = append(out, n.names[leg.Way[len(leg.Way)-1]])
	}
	return out
}

// RoundOrder returns the order of one who goes around the part: by the angle, seen from above, about the mean of all volumes
// that are no bridges; counterclockwise, and beginning behind the widest gap.
func (p *Plan) RoundOrder() []string {
	n := p.net
	type seen struct {
		vertex int
		angle  float64
	}
	var list []seen
	var mean space.Point
	for v, i := range n.volume {
		if n.graph.Required(v) {
			list = append(list, seen{vertex: v})
			mean[0] += n.task.Volumes[i].At[0]
			mean[1] += n.task.Volumes[i].At[1]
		}
	}
	for i := range list {
		at := n.task.Volumes[n.volume[list[i].vertex]].At
		list[i].angle = math.Atan2(at[1]-mean[1]/float64(len(list)), at[0]-mean[0]/float64(len(list)))
	}
	slices.SortFunc(list, func(a, b seen) int { return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.vertex, b.vertex)) })
	first, widest := 0, list[0].angle+2*math.Pi-list[len(list)-1].angle
	for i := 1; i < len(list); i++ {
		// Equal gaps but for rounding: the first stays.
		if gap := list[i].angle - list[i-1].angle; gap > widest+1e-9 {
			first, widest = i, gap
		}
	}
	var out []string
	for i := range list {
		out = append(out, n.names[list[(first+i)%len(list)].vertex])
	}
	return out
}
