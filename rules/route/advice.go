package route

import (
	"cmp"
	"slices"

	"plumbrule/rules/route/space"
)

// Kind says what a suggestion adds.
type Kind string

// The kinds.
const (
	OneJoin   Kind = "join"   // a join between two volumes that the task has none for
	OneBridge Kind = "bridge" // a volume in which nothing is measured, joined to all within reach
	OneBar    Kind = "bar"    // the calibrated length of the task, between two volumes
)

// Suggestion is one thing more that would make the worst pair better.
type Suggestion struct {
	Kind     Kind
	From, To string      // of a join or bar
	LengthMM float64     // of a join or bar
	At       space.Point // of a bridge
	Joined   []string    // volumes that the bridge would be joined to, sorted
	Worst    Way         // the worst pair with it
}

// Advice is what helps most.
type Advice struct {
	Suggestions []Suggestion // the best of each kind that helps, the best first
	Candidates  int          // how many there are
	Tried       int          // how many of them were computed, those that shorten the tree most first
}

// usualAdvice is the work that is spent on advice where nothing is said.
const usualAdvice Effort = 1e8

// Advise computes for single things more, one at a time, which worst pair would be left, and returns the best of each kind.
// An effort of 0 is some seconds at most.
//
// The candidates are, for up to 60 volumes, all pairs of volumes; for more, the pairs of up to 60 volumes spread evenly over
// the worst path. A join is a candidate where the task has none, the straight line is no longer than reach and nothing
// blocks it; a bar where its longest distance allows it and nothing blocks it. Bridges are candidates in the middle of each
// of these pairs, and on a grid of 9 by 9 by 9 places over all volumes and obstacles and half the reach around them,
// wherever two or more volumes are within reach and no obstacle holds the place; the best is then moved in steps down to
// an eighth of the grid's. Between equals the earlier stays.
func (p *Plan) Advise(effort Effort) (Advice, error) {
	if effort == 0 {
		effort = usualAdvice
	}
	a := &adviser{plan: p, left: int64(effort), reach: p.net.task.ReachMM, best: map[Kind]Suggestion{}}
	if a.reach == 0 {
		for _, j := range p.net.task.Joins {
			a.reach = max(a.reach, j.LengthMM)
		}
	}
	list := a.candidates()
	// What shortens paths of the tree most comes first, in case the work does not last.
	slices.SortStableFunc(list, func(x, y candidate) int { return cmp.Compare(y.saves, x.saves) })
	out := Advice{Candidates: len(list)}
	for _, c := range list {
		ok, err := a.try(c)
		if err != nil {
			return Advice{}, err
		}
		if !ok {
			break
		}
		out.Tried++
	}
	if err := a.move(); err != nil {
		return Advice{}, err
	}
	for _, kind := range []Kind{OneJoin, OneBridge, OneBar} {
		if s, is := a.best[kind]; is {
			out.Suggestions = append(out.Suggestions, s)
		}
	}
	slices.SortStableFunc(out.Suggestions, func(x, y Suggestion) int {
		switch {
		case y.Worst.worse(&x.Worst):
			return -1
		case x.Worst.worse(&y.Worst):
			return 1
		}
		return 0
	})
	return out, nil
}

// candidate is something that could be added.
type candidate struct {
	Suggestion
	saves float64 // mm of the longest path between the volumes it joins
}

// adviser is a search for advice under way.
type adviser struct {
	plan  *Plan
	left  int64 // steps
	reach float64
	best  map[Kind]Suggestion
	step  space.Point // of the grid
}

// try computes the plan with a candidate; ok is false when the work is spent.
func (a *adviser) try(c candidate) (ok bool, err error) {
	task := *a.plan.net.task
	task.Joins = slices.Clip(task.Joins)
	switch c.Kind {
	case OneJoin:
		task.Joins = append(task.Joins, Join{c.From, c.To, c.LengthMM})
	case OneBar:
		task.Frames = append(slices.Clip(task.Frames), Frame{a.fresh(), []string{c.From, c.To}, task.Bar.BoundUM})
	case OneBridge:
		bridge := Volume{Name: a.fresh(), At: c.At, Bridge: true}
		task.Volumes = append(slices.Clip(task.Volumes), bridge)
		for _, name := range c.Joined {
			task.Joins = append(task.Joins, Join{bridge.Name, name, space.Distance(c.At, a.plan.net.ends[name].at)})
		}
	}
	// To set the network up costs about as much as a few searches for shortest paths.
	a.left -= 8 * int64(len(task.Volumes)+2*len(task.Joins))
	if a.left <= 0 {
		return false, nil
	}
	with, err := find(task, Effort(a.left))
	if err != nil {
		return false, err
	}
	a.left -= with.work
	c.Worst = with.Worst
	if best, is := a.best[c.Kind]; a.plan.Worst.clearlyWorse(&c.Worst) && (!is || best.Worst.clearlyWorse(&c.Worst)) {
		a.best[c.Kind] = c.Suggestion
	}
	return true, nil
}

// clearlyWorse is worse by more than rounding.
func (w *Way) clearlyWorse(than *Way) bool {
	return w.worse(than) && (w.BoundUM > than.BoundUM*(1+1e-9) || w.Share.Value != nil && *w.Share.Value > *than.Share.Value*(1+1e-9))
}

// fresh returns a name that the task does not have.
func (a *adviser) fresh() string {
	name := "one more"
	for {
		_, volume := a.plan.net.ends[name]
		_, vertex := a.plan.net.vertex[name]
		if !volume && !vertex && !slices.ContainsFunc(a.plan.net.task.Frames, func(f Frame) bool { return f.Name == name }) {
			return name
		}
		name += " more"
	}
}
