package history

import (
	"maps"
	"slices"
)

// merged is a merge while its paths are looked at.
type merged struct {
	*walk
	commit   int
	parents  map[string]int32      // numbers of the parents the clone holds
	order    []int32               // those numbers in the commit's order
	together map[string]*raw       // by path: what differs from every parent
	apart    map[string][]sideBlob // by path: what differs from some parents
}

// sideBlob is what one parent of a merge has at a path.
type sideBlob struct {
	parent int32
	old    string
}

// merge takes in a merge. What it takes over from one side, because the other had
// not touched it, was reported by that side's own commits and is nothing new.
func (w *walk) merge(i int) {
	c := &w.log.Commits[i]
	m := &merged{walk: w, commit: i, parents: map[string]int32{}, together: map[string]*raw{}, apart: map[string][]sideBlob{}, order: w.graph.parents[i]}
	for _, n := range m.order {
		m.parents[w.log.Commits[n].ID] = n
	}
	now := map[string]*raw{}
	for k := range w.changes[i] {
		change := &w.changes[i][k]
		m.together[change.path], now[change.path] = change, change
	}
	list := w.sides[c.ID]
	for k := range list {
		s := &list[k]
		if n, known := m.parents[s.parent]; known && m.together[s.path] == nil {
			m.apart[s.path] = append(m.apart[s.path], sideBlob{n, s.old[0]})
			now[s.path] = &s.raw
		}
	}
	for _, path := range slices.Sorted(maps.Keys(now)) {
		if c := now[path]; m.together[path] != nil {
			m.different(c)
		} else {
			m.oneSided(path, c)
		}
	}
}

// different looks at a path whose content no parent has.
func (m *merged) different(c *raw) {
	t := m.at(c.path, false)
	old := ""
	for _, o := range c.old {
		if old == "" {
			old = o
		}
	}
	change := Change{Kind: kindOf(old, c.now), Manner: Itself, Commit: m.commit, Path: c.path, Old: old, New: c.now, Irregular: irregular(c.modes[len(c.modes)-1])}
	changing := 0 // sides that changed the content
	for k, p := range m.order {
		if k < len(c.old) && m.changed(t, sideBlob{p, c.old[k]}, m.order) {
			changing++
		}
	}
	switch {
	case c.now == "": // no side had removed it
	case changing > 1:
		change.Manner = Both
	case changing == 1 && m.elsewhere(t, c):
		return // a change of one side, taken over to the path that the other side gave the file
	}
	t.add(change)
}

// elsewhere reports whether a side has the content of a path at another path of
// the same file.
func (m *merged) elsewhere(t *trail, c *raw) bool {
	for _, path := range t.paths {
		for _, s := range m.apart[path] {
			if path != c.path && s.old == c.now {
				return true
			}
		}
	}
	return false
}

// oneSided looks at a path that the merge holds as at least one parent does, and
// not as some others.
func (m *merged) oneSided(path string, c *raw) {
	t := m.at(path, false)
	unlike := m.apart[path]
	for _, j := range unlike {
		change := Change{Kind: kindOf(j.old, c.now), Manner: Discarded, Commit: m.commit, Path: path, Old: j.old, New: c.now, Irregular: irregular(c.modes[len(c.modes)-1])}
		if m.overruled(t, j, unlike, &change) {
			t.add(change)
			return
		}
	}
}

// overruled reports whether the merge overruled what side j had done to a file,
// and completes the change by which it did.
func (m *merged) overruled(t *trail, j sideBlob, unlike []sideBlob, change *Change) bool {
	path := change.Path
	for _, i := range m.order {
		if slices.ContainsFunc(unlike, func(s sideBlob) bool { return s.parent == i }) {
			continue // this side is not the one taken
		}
		if !m.changed(t, j, []int32{i}) {
			return false // this side had not touched it, or had undone what it did
		}
		theirs, _ := m.since(t, i, []int32{j.parent})
		if m.anyChange(t, theirs) {
			change.Manner = Chosen
		}
		if to := m.renamed(t, theirs, path); to != nil && change.New == "" {
			if m.together[to.Path] != nil {
				return false // its content is looked at under the name the other side gave the file
			}
			change.Kind, change.Path, change.New = Changed, to.Path, to.New
		}
	}
	return true
}

// renamed returns the change by which one of the commits moved the file away from
// a path, its content that of the last of them.
func (m *merged) renamed(t *trail, commits []int32, path string) *Change {
	var out *Change
	for i := range t.changes {
		c := t.changes[i]
		switch {
		case !slices.Contains(commits, int32(c.Commit)):
		case c.Kind == Renamed && (c.From == path || out != nil):
			out = &c
		case out != nil:
			out.New = c.New
		}
	}
	return out
}

// since returns the commits that touched the file on the way to one parent and not
// on the way to any of the others, and those on the way to both.
func (m *merged) since(t *trail, parent int32, others []int32) (own, common []int32) {
	own = m.graph.among(parent, t.touched)
	for _, o := range others {
		if o == parent {
			continue
		}
		theirs := m.graph.among(o, own)
		common = append(common, theirs...)
		own = slices.DeleteFunc(own, func(c int32) bool { return slices.Contains(theirs, c) })
	}
	return own, common
}

// changed reports whether the content that a parent has at a path is its side's own
// doing: the side touched the file, and the content is not the one from which the
// sides set out.
func (m *merged) changed(t *trail, side sideBlob, others []int32) bool {
	own, common := m.since(t, side.parent, others)
	if !m.anyChange(t, own) || len(common) == 0 && side.old == "" {
		return false
	}
	last := slices.Clone(common)
	for _, c := range common {
		before := m.graph.among(c, common)
		last = slices.DeleteFunc(last, func(b int32) bool { return b != c && slices.Contains(before, b) })
	}
	for i := range t.changes {
		if c := &t.changes[i]; c.New == side.old && slices.Contains(last, int32(c.Commit)) {
			return false
		}
	}
	return true
}

// anyChange reports whether one of the commits did more to the file than give it
// another name.
func (m *merged) anyChange(t *trail, commits []int32) bool {
	for i := range t.changes {
		c := &t.changes[i]
		if (c.Kind != Renamed || c.Old != c.New) && slices.Contains(commits, int32(c.Commit)) {
			return true
		}
	}
	return false
}
