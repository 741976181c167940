package history

import "slices"

// ownTo returns the commits that one parent is or descends from and another not, in
// their order.
func (m *merged) ownTo(parent, other int32) []int32 {
	own, known := m.parting[[2]int32{parent, other}]
	if !known {
		var theirs []int32
		own, theirs = m.graph.parted(parent, other)
		m.parting[[2]int32{parent, other}], m.parting[[2]int32{other, parent}] = own, theirs
	}
	return own
}

// own returns the commits that touched the file on the way to one parent and not on
// the way to any of the others.
func (m *merged) own(t *trail, parent int32, others []int32) []int32 {
	out := t.touched()
	for _, o := range others {
		if o != parent {
			side := m.ownTo(parent, o)
			out = slices.DeleteFunc(out, func(c int32) bool { _, found := slices.BinarySearch(side, c); return !found })
		}
	}
	return out
}

// common returns the commits that touched the file on the way to one parent and
// also to another.
func (m *merged) common(t *trail, parent int32, others []int32) []int32 {
	var out []int32
	mine := m.graph.among(parent, t.touched())
	for _, o := range others {
		if o != parent {
			out = append(out, m.graph.among(o, mine)...)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// changed reports whether the content that a parent has at a place is its side's
// own doing: the side touched the file, and the content is not the one from which
// the sides set out.
func (m *merged) changed(t *trail, side sideBlob, others []int32) bool {
	if !m.anyChange(t, m.own(t, side.parent, others)) {
		return false
	}
	common := m.common(t, side.parent, others)
	if len(common) == 0 && side.object == "" {
		return false
	}
	last := slices.Clone(common)
	for _, c := range common {
		before := m.graph.among(c, common)
		last = slices.DeleteFunc(last, func(b int32) bool { return b != c && slices.Contains(before, b) })
	}
	for i := range t.changes {
		if c := &t.changes[i]; c.New == side.object && slices.Contains(last, int32(c.Commit)) {
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
