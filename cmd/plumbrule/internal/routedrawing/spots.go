package routedrawing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// How many spots are named and numbered; more are dots.
const (
	mostNamed    = 40  // with their names
	mostListed   = 100 // with the numbers of those that cover each other, and their extents
	mostNumbered = 300 // with their own numbers
)

// group is the spots that lie at one place of a view, or so near that they would cover each other.
type group struct {
	at    point
	spots []int
}

// groups puts together what would be drawn over each other, in the order of scanning.
func (v *view) groups(p *Picture) (out []group) {
	order := make([]int, len(p.Spots))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := p.Spots[a].Order, p.Spots[b].Order
		if x == 0 || y == 0 {
			return cmp.Compare(y, x) // what is not scanned comes last
		}
		return cmp.Compare(x, y)
	})
	for _, i := range order {
		at := v.at(p.Spots[i].At)
		near := slices.IndexFunc(out, func(g group) bool {
			dx, dy := g.at.x-at.x, g.at.y-at.y
			return len(p.Spots) <= mostNumbered && dx*dx+dy*dy < 14*14
		})
		if near < 0 {
			out = append(out, group{at: at})
			near = len(out) - 1
		}
		out[near].spots = append(out[near].spots, i)
	}
	return out
}

func (v *view) drawGroup(c *canvas, p *Picture, g group) {
	s, radius := p.Spots[g.spots[0]], 9.0
	if len(p.Spots) > mostNumbered {
		radius = 2.5
	}
	end := slices.ContainsFunc(g.spots, p.isEnd)
	number := ""
	if s.Order > 0 && len(g.spots) == 1 && len(p.Spots) <= mostNumbered {
		number = fmt.Sprint(s.Order)
	}
	class := "number"
	switch {
	case end:
		c.diamond("end", g.at, radius*1.5)
	case s.Kind == Frame:
		c.square("frame", g.at, radius*0.8)
		class = "number open"
	case s.Kind == Bridge || s.Order == 0:
		c.circle("bridge", "", g.at, radius)
		class = "number open"
	default:
		c.circle("spot", "", g.at, radius)
	}
	if number != "" {
		c.text(point{g.at.x, g.at.y + 3.5}, class, "middle", number)
	}
}

// isEnd tells whether a spot is one of the two ends of the worst path.
func (p *Picture) isEnd(i int) bool {
	return len(p.Worst) > 0 && (i == p.Worst[0] || i == p.Worst[len(p.Worst)-1])
}

// words returns what is written beside a group: the words for what is pointed out first, numbers where several lie together,
// names where there are few volumes.
func (p *Picture) words(g group) (words, class string) {
	var pointed, others []string
	for _, i := range g.spots {
		s := p.Spots[i]
		var one []string
		if len(g.spots) > 1 && s.Order > 0 {
			one = append(one, fmt.Sprint(s.Order))
		}
		end, centre := p.isEnd(i), p.Centre != nil && p.Centre.Share == 0 && p.Centre.From == i
		if len(p.Spots) <= mostNamed || end || centre || s.Kind == Frame {
			one = append(one, cut(plain(s.Name), 24))
		}
		if end {
			one, class = append(one, "(worst pair)"), "word"
		}
		if centre {
			one = append(one, "(centre)")
		}
		switch text := strings.Join(one, " "); {
		case end || centre:
			pointed = append(pointed, text)
		case text != "" && len(p.Spots) <= mostListed:
			others = append(others, text)
		}
	}
	if room := max(0, 3-len(pointed)); len(others) > room {
		others = append(others[:room], fmt.Sprintf("and %d more", len(others)-room))
	}
	return strings.Join(append(pointed, others...), ", "), class
}
