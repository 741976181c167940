package history

import "slices"

// graph is the commits and which is the parent of which. Commits are numbered in
// an order in which none comes before one of its children.
type graph struct {
	parents [][]int32
	seen    []int32 // by commit: the last question that came by it
	asked   int32
}

func newGraph(commits []Commit) *graph {
	number := make(map[string]int32, len(commits))
	for i := range commits {
		number[commits[i].ID] = int32(i)
	}
	g := &graph{parents: make([][]int32, len(commits)), seen: make([]int32, len(commits))}
	for i := range commits {
		for _, p := range commits[i].Parents {
			if n, ok := number[p]; ok { // beyond it a shallow clone ends
				g.parents[i] = append(g.parents[i], n)
			}
		}
	}
	return g
}

// among returns those of the commits that from is or descends from, in their
// order.
func (g *graph) among(from int32, commits []int32) []int32 {
	if len(commits) == 0 {
		return nil
	}
	last := slices.Max(commits)
	g.asked++
	stack := []int32{from}
	g.seen[from] = g.asked
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for _, p := range g.parents[at] {
			if p <= last && g.seen[p] != g.asked {
				g.seen[p] = g.asked
				stack = append(stack, p)
			}
		}
	}
	var out []int32
	for _, c := range commits {
		if g.seen[c] == g.asked {
			out = append(out, c)
		}
	}
	return out
}
