package route

import (
	"cmp"
	"slices"
)

// Step is one volume in the order of scanning.
type Step struct {
	Volume string
	// From is the volume or frame that it is joined to; empty for the first, unless a frame is the centre.
	From     string
	LengthMM float64 // of that join; 0 for the first and for a frame
	Frame    string  // the frame that joins it; empty for a join
	// OutMM is the path from the first volume.
	OutMM float64
}

// scan puts the tree in the order in which a person would scan: out from the centre along one branch to its end, back, and
// out along the next, the nearest volume first. It fills in Order and Links.
func (p *Plan) scan() {
	n := p.net
	below := make([][]int, len(n.names))
	for v := range n.names {
		if above, _ := p.tree.Above(v); above >= 0 {
			below[above] = append(below[above], v)
		}
	}
	for _, list := range below {
		slices.SortFunc(list, func(a, b int) int {
			_, ea := p.tree.Above(a)
			_, eb := p.tree.Above(b)
			return cmp.Or(cmp.Compare(n.links[ea].lengthMM, n.links[eb].lengthMM), cmp.Compare(a, b))
		})
	}
	out := make([]float64, len(n.names))
	pile := []int{p.tree.Root}
	for len(pile) > 0 {
		v := pile[len(pile)-1]
		pile = pile[:len(pile)-1]
		for _, next := range slices.Backward(below[v]) {
			pile = append(pile, next)
		}
		above, e := p.tree.Above(v)
		if above < 0 {
			if v < len(n.volume) {
				p.Order = append(p.Order, Step{Volume: n.names[v]})
			}
			continue
		}
		l := n.links[e]
		out[v] = out[above] + l.lengthMM
		link := Link{From: n.names[above], To: n.names[v], LengthMM: l.lengthMM}
		if l.frame >= 0 {
			link.Frame, link.BoundUM = n.task.Frames[l.frame].Name, l.boundUM
		}
		p.Links = append(p.Links, link)
		if v < len(n.volume) {
			p.Order = append(p.Order, Step{Volume: link.To, From: link.From, LengthMM: l.lengthMM, Frame: link.Frame, OutMM: out[v]})
		}
	}
}
