package history

import (
	"slices"
	"strings"
)

// merged is a merge while its paths are looked at.
type merged struct {
	*walk
	commit   int32
	parents  []int32               // those the clone holds
	parting  map[[2]int32][]int32  // by two of them: what the first is or descends from and the second not
	together map[*place]bool       // what differs from every parent
	apart    map[*place][]sideBlob // what differs from some parents
}

// sideBlob is what one parent of a merge has at a place.
type sideBlob struct {
	parent int32
	blob
}

// merge takes in a merge. What it takes over from one side, because the other had
// not touched it, was reported by that side's own commits and is nothing new.
func (w *walk) merge(commit int32) {
	m := &merged{walk: w, commit: commit, parents: w.graph.parents[commit], parting: map[[2]int32][]int32{}, together: map[*place]bool{}, apart: map[*place][]sideBlob{}}
	var differing []*place
	for _, p := range m.candidates() {
		now := p.at(commit, w.graph)
		var unlike []sideBlob
		for _, parent := range m.parents {
			if b := p.at(parent, w.graph); b != now {
				unlike = append(unlike, sideBlob{parent, b})
			}
		}
		switch len(unlike) {
		case 0:
			continue
		case len(m.parents):
			m.together[p] = true
		}
		m.apart[p] = unlike
		differing = append(differing, p)
	}
	w.touched[commit] = differing
	slices.SortFunc(differing, func(a, b *place) int { return strings.Compare(a.path, b.path) })
	for _, p := range differing {
		if m.together[p] {
			m.different(p)
		} else {
			m.oneSided(p)
		}
	}
}

// candidates lists the places where the merge can differ from one of its parents:
// where it differs from the first, and where that can differ from another, since a
// commit that one of them has and the other not touched it. That holds for any
// number of commits from which the sides set out: from each of them to either side
// there is a line of commits that the other side has not.
func (m *merged) candidates() []*place {
	var out []*place
	add := func(p *place) {
		if p.seen != m.commit {
			p.seen = m.commit
			out = append(out, p)
		}
	}
	steps := m.changes[m.commit]
	for i := range steps {
		add(m.place(steps[i].path))
	}
	for _, parent := range m.parents[min(1, len(m.parents)):] {
		for _, side := range [][]int32{m.ownTo(m.parents[0], parent), m.ownTo(parent, m.parents[0])} {
			for _, c := range side {
				for _, p := range m.touched[c] {
					add(p)
				}
			}
		}
	}
	return out
}

// different looks at a place whose content no parent has.
func (m *merged) different(p *place) {
	t, now := m.at(p, false), p.at(m.commit, m.graph)
	change := Change{Manner: Itself, Commit: int(m.commit), Path: p.path, New: now.object, Irregular: now.irregular}
	changing := 0 // sides that changed the content
	for _, side := range m.apart[p] {
		if change.Old == "" {
			change.Old = side.object
		}
		if m.changed(t, side, m.parents) {
			changing++
		}
	}
	change.Kind = kindOf(change.Old, change.New)
	switch {
	case now == blob{}: // no side had removed it
	case changing > 1:
		change.Manner = Both
	case changing == 1 && m.elsewhere(t, p, now):
		return // a change of one side, taken over to the path that the other side gave the file
	}
	t.add(change)
}

// elsewhere reports whether a side has the content of a place at another path of
// the same file.
func (m *merged) elsewhere(t *trail, p *place, now blob) bool {
	for _, path := range t.paths {
		other := m.place(path)
		if other != p && !m.together[other] && slices.ContainsFunc(m.apart[other], func(s sideBlob) bool { return s.blob == now }) {
			return true
		}
	}
	return false
}

// oneSided looks at a place that the merge holds as at least one parent does, and
// not as some others.
func (m *merged) oneSided(p *place) {
	t, now := m.at(p, false), p.at(m.commit, m.graph)
	unlike := m.apart[p]
	for _, j := range unlike {
		change := Change{Kind: kindOf(j.object, now.object), Manner: Discarded, Commit: int(m.commit), Path: p.path, Old: j.object, New: now.object, Irregular: now.irregular}
		if m.overruled(t, j, unlike, &change) {
			t.add(change)
			return
		}
	}
}

// overruled reports whether the merge overruled what side j had done to a file,
// and completes the change by which it did.
func (m *merged) overruled(t *trail, j sideBlob, unlike []sideBlob, change *Change) bool {
	for _, i := range m.parents {
		if slices.ContainsFunc(unlike, func(s sideBlob) bool { return s.parent == i }) {
			continue // this side is not the one taken
		}
		if !m.changed(t, j, []int32{i}) {
			return false // this side had not touched it, or had undone what it did
		}
		if j.object == "" && !m.gone(t, change.Path, j.parent, i) {
			return false // this side has it under another name, where it is looked at, or never had it under this one
		}
		theirs := m.own(t, i, []int32{j.parent})
		if m.anyChange(t, theirs) {
			change.Manner = Chosen
		}
		if to := m.renamed(t, theirs, change.Path); to != nil && to.New != "" && change.New == "" && !m.follow(to.Path, change) {
			return false
		}
	}
	return true
}

// follow takes a change of a file that the merge no longer has to the name that the
// side taken had given it. It returns false where that is looked at by itself.
func (m *merged) follow(path string, change *Change) bool {
	to := m.place(path)
	switch now := to.at(m.commit, m.graph); {
	case m.together[to]:
		return false
	case now.object == "":
		change.Manner = Itself // both sides had it, under two names
	default:
		change.Kind, change.Path, change.New, change.Irregular = Changed, path, now.object, now.irregular
	}
	return true
}

// gone reports whether a parent lacks a file at a path because its side, since it
// parted from another, removed it, under this name or a later one, or gave it a
// name that the merge has beside this one.
func (m *merged) gone(t *trail, path string, parent, other int32) bool {
	if to := m.renamed(t, m.own(t, parent, []int32{other}), path); to != nil {
		return to.New == "" || m.place(to.Path).at(m.commit, m.graph).object != ""
	}
	p := m.place(path)
	return slices.ContainsFunc(m.ownTo(parent, other), func(c int32) bool { return slices.Contains(m.touched[c], p) })
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
