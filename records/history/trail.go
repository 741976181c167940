package history

import (
	"slices"
	"strings"
)

// trail is a file while its history is put together.
type trail struct {
	paths   []string // it had, the latest last
	changes []Change
	touched []int32 // the commits of the changes
}

func (t *trail) add(c Change) {
	t.changes = append(t.changes, c)
	t.touched = append(t.touched, int32(c.Commit))
}

// last is the path the file had last.
func (t *trail) last() string { return t.paths[len(t.paths)-1] }

// at returns the trail that leads by a path, a new one where there is none. A path
// that another file left by a rename is free for a new one.
func (w *walk) at(path string, adding bool) *trail {
	t := w.trails[path]
	if t == nil || adding && t.last() != path {
		t = &trail{paths: []string{path}}
		w.trails[path] = t
		w.all = append(w.all, t)
	}
	return t
}

// build goes from the oldest commit to the latest and gives each file its
// changes.
func (w *walk) build() {
	w.trails = map[string]*trail{}
	for i := len(w.log.Commits) - 1; i >= 0; i-- {
		if w.log.Commits[i].Merge() {
			w.merge(i)
			continue
		}
		w.plain(i)
	}
}

// plain takes in a commit with one parent or none.
func (w *walk) plain(i int) {
	from, to := map[string]bool{}, map[string]bool{}
	for _, c := range w.moved[int32(i)] {
		from[c.from], to[c.path] = true, true
		t := w.at(c.from, false)
		t.add(Change{Kind: Renamed, Commit: i, Path: c.path, From: c.from, Old: c.old[0], New: c.now, Irregular: irregular(c.modes[1])})
		t.paths = append(t.paths, c.path)
		w.trails[c.path] = t
	}
	for _, c := range w.changes[i] {
		if from[c.path] && c.status == "D" || to[c.path] {
			continue
		}
		w.at(c.path, c.status == "A").add(Change{Kind: kindOf(c.old[0], c.now), Commit: i, Path: c.path, Old: c.old[0], New: c.now, Irregular: irregular(c.modes[1])})
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

// settle says where every file is in the commit looked at, and sorts them.
func (w *walk) settle(present map[string]string) {
	for _, t := range w.all {
		f := &File{Path: t.last(), Changes: t.changes}
		for _, path := range slices.Backward(t.paths) {
			if object, ok := present[path]; ok && w.trails[path] == t {
				f.Path, f.Object = path, object
				break
			}
		}
		w.keep(f, w.trails[f.Path] == t)
	}
	for path, object := range present {
		if w.trails[path] == nil { // known only by being there
			w.keep(&File{Path: path, Object: object}, true)
		}
	}
	slices.SortStableFunc(w.log.Files, func(a, b *File) int { return strings.Compare(a.Path, b.Path) })
}

// keep lists a file that lies in the folder of records, or did when it was last
// somewhere. With latest it is the last file at its path.
func (w *walk) keep(f *File, latest bool) {
	if !strings.HasPrefix(f.Path, w.folder) {
		return
	}
	f.Path = w.within(f.Path)
	for i := range f.Changes {
		c := &f.Changes[i]
		c.Path, c.From = w.within(c.Path), w.within(c.From)
	}
	w.log.Files = append(w.log.Files, f)
	if latest {
		w.log.byPath[f.Path] = f
	}
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
