package history

import (
	"cmp"
	"slices"
	"strings"
)

// trail is a file while its history is put together.
type trail struct {
	paths   []string // it had, the latest last
	changes []Change
}

func (t *trail) add(c Change) { t.changes = append(t.changes, c) }

// last is the path the file had last.
func (t *trail) last() string { return t.paths[len(t.paths)-1] }

// touched returns the commits that changed, renamed or removed the file or added it.
func (t *trail) touched() []int32 {
	out := make([]int32, len(t.changes))
	for i := range t.changes {
		out[i] = int32(t.changes[i].Commit)
	}
	return out
}

// at returns the trail that leads by a place, a new one where there is none. A path
// that another file left by a rename is free for a new one.
func (w *walk) at(p *place, adding bool) *trail {
	if p.trail == nil || adding && p.trail.last() != p.path {
		p.trail = &trail{paths: []string{p.path}}
		w.all = append(w.all, p.trail)
	}
	return p.trail
}

// build goes from the oldest commit to the latest and gives each file its
// changes.
func (w *walk) build() {
	w.touched = make([][]*place, len(w.changes))
	for i := len(w.changes) - 1; i >= 0; i-- {
		w.touched[i] = make([]*place, len(w.changes[i]))
		for k := range w.changes[i] {
			c := &w.changes[i][k]
			p := w.place(c.path)
			p.put(int32(i), c.now)
			w.touched[i][k] = p
		}
		if w.log.Commits[i].Merge() {
			w.merge(int32(i))
			continue
		}
		w.plain(i)
	}
}

// plain takes in a commit with one parent or none.
func (w *walk) plain(i int) {
	var from, to map[string]bool
	if moved := w.moved[int32(i)]; len(moved) > 0 {
		from, to = map[string]bool{}, map[string]bool{}
		for _, c := range moved {
			from[c.from], to[c.path] = true, true
			t := w.at(w.place(c.from), false)
			t.add(Change{Kind: Renamed, Commit: i, Path: c.path, From: c.from, Old: c.old.object, New: c.now.object, Irregular: c.now.irregular})
			t.paths = append(t.paths, c.path)
			w.place(c.path).trail = t
		}
	}
	for k := range w.changes[i] {
		c := &w.changes[i][k]
		if from[c.path] && c.status == 'D' || to[c.path] {
			continue
		}
		change := Change{Kind: kindOf(c.old.object, c.now.object), Commit: i, Path: c.path, Old: c.old.object, New: c.now.object, Irregular: c.now.irregular}
		w.at(w.touched[i][k], c.status == 'A').add(change)
	}
}

func kindOf(before, now string) Kind {
	switch {
	case before == "":
		return Added
	case now == "":
		return Removed
	}
	return Changed
}

// settle says where every file is in the commit looked at, and sorts them. Of those
// that had one path after the other, the one to which the path leads comes last.
func (w *walk) settle() {
	const tip = 0
	type settled struct {
		*File
		rank int
	}
	list := make([]settled, len(w.all))
	for i, t := range w.all {
		s := settled{&File{Path: t.last(), Changes: t.changes}, i}
		for _, path := range slices.Backward(t.paths) {
			if p := w.place(path); p.trail == t {
				if now := p.at(tip, w.graph); now.object != "" {
					s.Path, s.Object = path, now.object
					break
				}
			}
		}
		if w.place(s.Path).trail == t {
			s.rank = len(w.all)
		}
		list[i] = s
	}
	slices.SortFunc(list, func(a, b settled) int { return cmp.Or(strings.Compare(a.Path, b.Path), cmp.Compare(a.rank, b.rank)) })
	w.log.Files = make([]*File, 0, len(list))
	for _, s := range list {
		w.keep(s.File)
	}
}

// keep lists a file that lies in the folder of records, or did when it was last
// somewhere.
func (w *walk) keep(f *File) {
	if !strings.HasPrefix(f.Path, w.folder) {
		return
	}
	if w.folder != "" {
		f.Path = w.within(f.Path)
		for i := range f.Changes {
			c := &f.Changes[i]
			c.Path, c.From = w.within(c.Path), w.within(c.From)
		}
	}
	w.log.Files = append(w.log.Files, f)
}

// within makes a path begin at the folder of records; one that lies elsewhere in
// the git repository is written from its top, as git does, with :/ before it.
func (w *walk) within(path string) string {
	if path == "" {
		return ""
	}
	if inside, ok := strings.CutPrefix(path, w.folder); ok {
		return inside
	}
	return ":/" + path
}
