package history

import "slices"

// graph is the commits and which is the parent of which. Commits are numbered in
// an order in which none comes before one of its children.
type graph struct {
	parents [][]int32
	seen    []int32 // by commit: the last question that came by it
	asked   int32
	sides   []uint8 // by commit: sides that parted found it on

	// Following nothing but first parents, the commits are a forest. In an order in
	// which each is followed by all that descend from it so, this is the number of
	// each and how many it is with those that follow.
	start, size []int32
}

func newGraph(commits []Commit) *graph {
	number := make(map[string]int32, len(commits))
	for i := range commits {
		number[commits[i].ID] = int32(i)
	}
	g := &graph{parents: make([][]int32, len(commits)), seen: make([]int32, len(commits)), sides: make([]uint8, len(commits))}
	for i := range commits {
		for _, p := range commits[i].Parents {
			if n, ok := number[p]; ok { // beyond it a shallow clone ends
				g.parents[i] = append(g.parents[i], n)
			}
		}
	}
	g.lines()
	return g
}

// lines finds the lines of first parents.
func (g *graph) lines() {
	n := len(g.parents)
	g.start, g.size = make([]int32, n), make([]int32, n)
	for i := range n {
		g.size[i]++
		if len(g.parents[i]) > 0 {
			g.size[g.parents[i][0]] += g.size[i]
		}
	}
	next := make([]int32, n) // by commit: the number of its next child
	root := int32(0)
	for i := n - 1; i >= 0; i-- {
		from := &root
		if len(g.parents[i]) > 0 {
			from = &next[g.parents[i][0]]
		}
		g.start[i] = *from
		*from += g.size[i]
		next[i] = g.start[i] + 1
	}
}

// onLine reports whether first parents lead from a commit to another, or it is
// that one.
func (g *graph) onLine(to, from int32) bool {
	return g.start[to] <= g.start[from] && g.start[from] < g.start[to]+g.size[to]
}

// parted returns the commits that one of two is or descends from and the other not:
// what was done on either side since they parted. Both lists are in the order of
// the commits.
func (g *graph) parted(a, b int32) (onlyA, onlyB []int32) {
	const both = 3
	marked := []int32{a, b}
	g.sides[a] |= 1
	g.sides[b] |= 2
	open := 0 // commits to come that are known to be on one side only
	if a != b {
		open = 2
	}
	for i := min(a, b); open > 0; i++ {
		side := g.sides[i]
		switch side {
		case 0:
			continue
		case 1:
			onlyA = append(onlyA, i)
			open--
		case 2:
			onlyB = append(onlyB, i)
			open--
		}
		for _, p := range g.parents[i] {
			before := g.sides[p]
			g.sides[p] |= side
			switch {
			case before == 0:
				marked = append(marked, p)
				if side != both {
					open++
				}
			case before != both && g.sides[p] == both:
				open--
			}
		}
	}
	for _, m := range marked {
		g.sides[m] = 0
	}
	return onlyA, onlyB
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
