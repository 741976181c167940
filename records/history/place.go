package history

import "slices"

// place is a path, and what the commits put there.
type place struct {
	path  string
	trail *trail // the file that leads by it
	holds []held // oldest first
	seen  int32  // the last merge that looked at it
}

// held is what a commit put at a place, where that is not what its first parent
// has there.
type held struct {
	commit int32
	blob
}

// put notes what a commit holds at the place. Commits come oldest first.
func (p *place) put(commit int32, b blob) { p.holds = append(p.holds, held{commit, b}) }

// at returns what a commit holds at the place: what the nearest commit on the line
// of its first parents put there.
func (p *place) at(commit int32, g *graph) blob {
	for _, h := range slices.Backward(p.holds) {
		if g.onLine(h.commit, commit) {
			return h.blob
		}
	}
	return blob{}
}

// place returns the place of a path.
func (w *walk) place(path string) *place {
	p := w.places[path]
	if p == nil {
		p = &place{path: path, seen: -1}
		w.places[path] = p
	}
	return p
}
