package route

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/rules/route/space"
)

// ApartError says that some volumes cannot be joined to others.
type ApartError struct {
	Parts   [][]string // names of the volumes of each part, sorted; parts in the order of their first names
	Missing []Missing  // the shortest joins that would connect all parts, the shortest first; empty for more than 20 000 volumes
}

// Missing is a straight line that would connect two parts.
type Missing struct {
	From, To string
	LengthMM float64
	Blocked  bool // an obstacle stands in the way, and in that of every other line between the same two parts
}

// mostSought is up to how many volumes missing joins are sought, which compares each with each.
const mostSought = 20000

// Error names the parts and the shortest missing join.
func (e *ApartError) Error() string {
	const most = 4
	var parts []string
	for i, p := range e.Parts {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more", len(e.Parts)-most))
			break
		}
		names := strings.Join(p[:min(len(p), most)], ", ")
		if len(p) > most {
			names += fmt.Sprintf(" and %d more", len(p)-most)
		}
		parts = append(parts, names)
	}
	text := fmt.Sprintf("the volumes lie in %d parts that nothing joins (%s), expected one", len(e.Parts), strings.Join(parts, " | "))
	if len(e.Missing) == 0 {
		return text
	}
	m := e.Missing[0]
	text += fmt.Sprintf("; the shortest missing join is %s to %s, %.4g mm", m.From, m.To, m.LengthMM)
	if m.Blocked {
		text += ", which an obstacle blocks"
	}
	return text
}

// apart returns an [*ApartError] where volumes that must be joined are not connected.
func (n *network) apart() error {
	of, _ := n.graph.Parts()
	number := map[int]int{} // of the parts that have a volume to be joined
	for v := range n.volume {
		if _, is := number[of[v]]; !is && n.graph.Required(v) {
			number[of[v]] = len(number)
		}
	}
	if len(number) < 2 {
		return nil
	}
	e := &ApartError{Parts: make([][]string, len(number))}
	part := make([]int, len(n.volume)) // -1: bridges that are of no use
	for v := range n.volume {
		i, is := number[of[v]]
		if part[v] = -1; is {
			part[v] = i
			e.Parts[i] = append(e.Parts[i], n.names[v])
		}
	}
	if len(n.volume) <= mostSought {
		e.Missing = n.missing(part, len(number))
	}
	return e
}

// missing connects the parts with the shortest lines (Prim 1957): part by part, the nearest to those already connected.
func (n *network) missing(part []int, parts int) []Missing {
	type line struct {
		from   int
		length float64 // with what blocked lines are set back by
	}
	nearest := make([]line, len(part))
	for v := range nearest {
		nearest[v].length = math.Inf(1)
	}
	done := make([]bool, parts)
	at := func(v int) space.Point { return n.task.Volumes[n.volume[v]].At }
	// A blocked line counts as longer than any that is not.
	const setBack = 8 * space.Largest
	connect := func(p int) {
		done[p] = true
		for v := range part {
			if part[v] != p {
				continue
			}
			for w := range part {
				if part[w] < 0 || done[part[w]] {
					continue
				}
				length := space.Distance(at(v), at(w))
				if length < nearest[w].length && space.Blocked(at(v), at(w), n.task.Obstacles) >= 0 {
					length += setBack
				}
				if length < nearest[w].length {
					nearest[w] = line{v, length}
				}
			}
		}
	}
	connect(0)
	var out []Missing
	for range parts - 1 {
		best := -1
		for w := range part {
			if part[w] >= 0 && !done[part[w]] && (best < 0 || nearest[w].length < nearest[best].length) {
				best = w
			}
		}
		from := nearest[best]
		m := Missing{From: n.names[from.from], To: n.names[best], LengthMM: space.Distance(at(from.from), at(best)), Blocked: from.length >= setBack}
		out = append(out, m)
		connect(part[best])
	}
	sortMissing(out)
	return out
}
