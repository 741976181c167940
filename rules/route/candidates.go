package route

import (
	"slices"

	"plumbrule/rules/route/space"
)

// mostPaired is up to how many volumes are paired with each other for advice.
const mostPaired = 60

// gridSide is how many places for a bridge are tried along each axis.
const gridSide = 9

// candidates lists what could be added.
func (a *adviser) candidates() (out []candidate) {
	paired := a.paired()
	for i, v := range paired {
		for _, w := range paired[i+1:] {
			out = append(out, a.pair(v, w)...)
		}
	}
	for _, at := range a.grid() {
		if c, ok := a.bridge(at); ok {
			out = append(out, c)
		}
	}
	return out
}

// paired returns the vertices that are paired with each other.
func (a *adviser) paired() (out []int) {
	n := a.plan.net
	for v := range n.volume {
		if a.plan.tree.Has(v) {
			out = append(out, v)
		}
	}
	if len(out) <= mostPaired {
		return out
	}
	var way []int
	for _, name := range a.plan.Worst.Through {
		if v := n.vertex[name]; v < len(n.volume) {
			way = append(way, v)
		}
	}
	if len(way) <= mostPaired {
		return way
	}
	out = out[:0]
	for i := range mostPaired {
		out = append(out, way[i*(len(way)-1)/(mostPaired-1)])
	}
	return out
}

// pair returns what could be added between two volumes.
func (a *adviser) pair(v, w int) (out []candidate) {
	n := a.plan.net
	from, to := n.task.Volumes[n.volume[v]], n.task.Volumes[n.volume[w]]
	length := space.Distance(from.At, to.At)
	_, along := a.plan.tree.Way(v, w)
	if bridge, ok := a.bridge(from.At.Towards(to.At, 0.5)); ok {
		out = append(out, bridge)
	}
	if space.Blocked(from.At, to.At, n.task.Obstacles) >= 0 {
		return out
	}
	s := Suggestion{Kind: OneJoin, From: from.Name, To: to.Name, LengthMM: length}
	if length <= a.reach && !n.joined(v, w) && length < along {
		out = append(out, candidate{s, along - length})
	}
	if bar := n.task.Bar; bar != nil && length <= bar.LongestMM && n.limit.asLengthMM(bar.BoundUM) < along {
		s.Kind = OneBar
		out = append(out, candidate{s, along - n.limit.asLengthMM(bar.BoundUM)})
	}
	return out
}

// joined tells whether the task has a join between two volumes.
func (n *network) joined(v, w int) bool {
	return slices.ContainsFunc(n.task.Joins, func(j Join) bool {
		return j.From == n.names[v] && j.To == n.names[w] || j.From == n.names[w] && j.To == n.names[v]
	})
}

// bridge returns a bridge at a place, if it joins two volumes or more.
func (a *adviser) bridge(at space.Point) (candidate, bool) {
	n := a.plan.net
	if slices.ContainsFunc(n.task.Obstacles, func(o space.Shape) bool { return o.Holds(at) }) {
		return candidate{}, false
	}
	c := candidate{Suggestion: Suggestion{Kind: OneBridge, At: at}}
	var joined []int
	for v := range n.volume {
		place := n.ends[n.names[v]].at
		if a.plan.tree.Has(v) && space.Distance(at, place) <= a.reach && space.Blocked(at, place, n.task.Obstacles) < 0 {
			joined = append(joined, v)
			c.Joined = append(c.Joined, n.names[v])
		}
	}
	for i, v := range joined[:min(len(joined), mostPaired)] {
		for _, w := range joined[:i] {
			_, along := a.plan.tree.Way(v, w)
			c.saves = max(c.saves, along-space.Distance(at, n.ends[n.names[v]].at)-space.Distance(at, n.ends[n.names[w]].at))
		}
	}
	return c, c.saves > 0
}

// grid returns places over all volumes and obstacles and half the reach around them.
func (a *adviser) grid() (out []space.Point) {
	n := a.plan.net
	least := n.task.Volumes[0].At
	most := least
	include := func(low, high space.Point) {
		for i := range low {
			least[i], most[i] = min(least[i], low[i]), max(most[i], high[i])
		}
	}
	for i := range n.task.Volumes {
		include(n.task.Volumes[i].At, n.task.Volumes[i].At)
	}
	for _, o := range n.task.Obstacles {
		include(o.Bounds())
	}
	for i := range a.step {
		least[i] -= a.reach / 2
		a.step[i] = (most[i] + a.reach/2 - least[i]) / (gridSide - 1)
	}
	for k := range gridSide * gridSide * gridSide {
		index := [3]int{k / gridSide / gridSide, k / gridSide % gridSide, k % gridSide}
		at := least
		for i := range at {
			at[i] += float64(float64(index[i]) * a.step[i])
		}
		out = append(out, at)
	}
	return out
}

// move shifts the best bridge along the axes for as long as that helps, in steps from half the grid's down to an eighth.
func (a *adviser) move() error {
	step := a.step
	for range 3 {
		for i := range step {
			step[i] /= 2
		}
		for {
			best, is := a.best[OneBridge]
			if !is {
				return nil
			}
			for k := range 6 {
				at := best.At
				at[k/2] += float64(step[k/2] * float64(k%2*2-1))
				c, ok := a.bridge(at)
				if !ok {
					continue
				}
				if ok, err := a.try(c); err != nil || !ok {
					return err
				}
			}
			if a.best[OneBridge].At == best.At {
				break
			}
		}
	}
	return nil
}
