package route

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"plumbrule/rules/route/space"
)

func sortMissing(list []Missing) {
	slices.SortStableFunc(list, func(a, b Missing) int {
		switch {
		case a.Blocked != b.Blocked && b.Blocked:
			return -1
		case a.Blocked != b.Blocked:
			return 1
		}
		return cmp.Compare(a.LengthMM, b.LengthMM)
	})
}

// note says what should be known beside the figures.
func (p *Plan) note() {
	n := p.net
	if n.limit.perMM == 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("the limit %s does not grow with the path: every way of joining has the same bound, and this one has the shortest longest path", n.limit.mpe))
	}
	var bridges []string
	for v, i := range n.volume {
		if n.task.Volumes[i].Bridge && !p.tree.Has(v) {
			bridges = append(bridges, n.names[v])
		}
	}
	if len(bridges) > 0 {
		p.Notes = append(p.Notes, "not needed as a bridge: "+listed(bridges))
	}
	var short []string
	for _, j := range n.task.Joins {
		from, to := n.ends[j.From].at, n.ends[j.To].at
		if straight := space.Distance(from, to); j.LengthMM < straight*(1-1e-3) {
			short = append(short, fmt.Sprintf("%s to %s (%.6g mm, straight %.6g mm)", j.From, j.To, j.LengthMM, straight))
		}
	}
	if len(short) > 0 {
		p.Notes = append(p.Notes, "shorter than the straight line, so that a length or a place is wrong: "+listed(short))
	}
}

// listed joins names, the first few of many.
func listed(names []string) string {
	const most = 6
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}
