package records

import (
	"errors"
	"io/fs"
	"path"
)

// lookupTable finds the records whose checks looked something up.
type lookupTable struct {
	of      map[string]*lookups // by file
	paths   map[string]map[string]bool
	folders map[string]map[string]bool
	onDisk  map[string]glimpse
}

// glimpse is what lay on the disk when it was looked at.
type glimpse struct {
	id    identity
	safe  bool
	found bool
	users int // how many records looked
}

func newLookupTable() lookupTable {
	return lookupTable{of: map[string]*lookups{}, paths: map[string]map[string]bool{}, folders: map[string]map[string]bool{}, onDisk: map[string]glimpse{}}
}

// note keeps what the check of a file looked up, in place of what an earlier one
// did; nil: nothing, as for a file that is gone.
func (x *Index) note(file string, seen *lookups) {
	t := &x.lookups
	if before := t.of[file]; before != nil {
		for _, name := range before.paths {
			unlink(t.paths, name, file)
		}
		for _, name := range before.folders {
			unlink(t.folders, name, file)
		}
		for name := range before.onDisk {
			g := t.onDisk[name]
			if g.users--; g.users == 0 {
				delete(t.onDisk, name)
			} else {
				t.onDisk[name] = g
			}
		}
		delete(t.of, file)
	}
	if seen == nil || len(seen.paths)+len(seen.folders) == 0 {
		return
	}
	t.of[file] = seen
	for _, name := range seen.paths {
		link(t.paths, name, file)
	}
	for _, name := range seen.folders {
		link(t.folders, name, file)
	}
	for name, now := range seen.onDisk {
		g, known := t.onDisk[name]
		switch {
		case !known:
			g = now
		case g.found != now.found || g.id != now.id:
			g.safe = false // others looked at another one: all are to look again
		}
		g.users++
		t.onDisk[name] = g
	}
}

func link(table map[string]map[string]bool, name, file string) {
	if table[name] == nil {
		table[name] = map[string]bool{}
	}
	table[name][file] = true
}

func unlink(table map[string]map[string]bool, name, file string) {
	delete(table[name], file)
	if len(table[name]) == 0 {
		delete(table, name)
	}
}

// glimpse looks at something on the disk.
func (x *Index) glimpse(name string) glimpse {
	at := x.instant()
	info, err := fs.Lstat(x.tree.below, name)
	if err != nil {
		return glimpse{safe: errors.Is(err, fs.ErrNotExist)}
	}
	g := glimpse{found: true, id: identityOf(info)}
	g.safe = g.id.settled(at) || info.IsDir()
	return g
}

// lookAgain looks at what checks looked at on the disk, as far as it may have
// changed.
func (x *Index) lookAgain(r *round) {
	for name, before := range x.lookups.onDisk {
		named := false
		for _, other := range r.looked {
			named = named || inside(name, other)
		}
		if !named && !r.everywhere {
			continue
		}
		now := x.glimpse(name)
		now.users = before.users
		x.lookups.onDisk[name] = now
		if named || !before.safe || before.found != now.found || before.id != now.id {
			r.disk[name] = true
		}
	}
}

// dependents adds the files whose checks looked up a path.
func (x *Index) dependents(name string, into map[string]bool) {
	for file := range x.lookups.paths[name] {
		into[file] = true
	}
}

// among adds the files whose checks looked at a list of names that a file has
// come into or gone from.
func (x *Index) among(name string, into map[string]bool) {
	for folder := path.Dir(name); folder != "."; folder = path.Dir(folder) {
		for file := range x.lookups.folders[folder] {
			into[file] = true
		}
	}
}
