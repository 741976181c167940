package records

import (
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// tree remembers the folders that were listed, with the identity of all that
// lies in them. It is a file system itself: what it remembers is listed from
// memory, files are opened below.
type tree struct {
	below   fs.FS
	folders map[string]*folder
}

// folder is one remembered folder.
type folder struct {
	entries []entry // sorted by name; with err nil, or of the root those before it
	err     error   // why it could not be listed
	odd     *oddities
	told    []string // entries that stand where they should not, about which something was told
	order   []int32  // in which a look meets the entries, as far as it is known
}

// entry is one thing in a folder.
type entry struct {
	path string // in the repository
	id   identity
	sum  uint64 // of the content when it was last read as a record
	safe bool   // it cannot have been written since without changing its identity

	unseen bool // its identity is known when it has been read
}

// isLink reports whether it is a symbolic link. Where one leads is read when its
// folder is sorted.
func (e *entry) isLink() bool { return e.id.mode&fs.ModeSymlink != 0 }

// see takes the identity of a record from the file opened to read it.
func (e *entry) see(f fs.File) {
	if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
		e.id, e.unseen = identityOf(info), false
	}
}

// oddities are what lies in a folder of records and is none, as in loader.
type oddities struct {
	closed, misplaced, others, hidden, lost []string
	disguised                               map[string]bool
}

func newTree(fsys fs.FS) *tree { return &tree{below: fsys, folders: map[string]*folder{}} }

// Open opens a file of the file system below.
func (t *tree) Open(name string) (fs.File, error) { return t.below.Open(name) }

// Lstat makes tree, with ReadLink, an [fs.ReadLinkFS].
func (t *tree) Lstat(name string) (fs.FileInfo, error) { return fs.Lstat(t.below, name) }

// ReadLink makes tree, with Lstat, an [fs.ReadLinkFS].
func (t *tree) ReadLink(name string) (string, error) { return fs.ReadLink(t.below, name) }

// ReadDir lists a folder as it was when it was last listed.
func (t *tree) ReadDir(name string) ([]fs.DirEntry, error) {
	f := t.folders[name]
	if f == nil {
		f = t.list(name, nil)
		t.folders[name] = f
	}
	return f.list(), f.err
}

// list reads a folder, of which an earlier list may be known. Records that are
// new are not looked at: they are when they are read.
func (t *tree) list(name string, before *folder) *folder {
	entries, err := fs.ReadDir(t.below, name)
	if err != nil {
		return &folder{err: err}
	}
	f := &folder{entries: make([]entry, len(entries))}
	f.name(name, entries, before)
	_, ofRecords := sortedWith(name)
	inParallel(len(entries), chunk, none, func(_ struct{}, i int) {
		e := &f.entries[i]
		if e.unseen || !ofRecords && e.id.mode.IsRegular() && !strings.EqualFold(path.Ext(e.path), suffix) {
			return // or nobody reads it
		}
		switch info, err := entries[i].Info(); {
		case err == nil:
			e.id = identityOf(info)
		case errors.Is(err, fs.ErrNotExist):
			e.path = "" // gone since
		}
		// Where something cannot be looked at, that it is there is known all the same; it then has no time and is never safe.
	})
	f.entries = slices.DeleteFunc(f.entries, func(e entry) bool { return e.path == "" })
	slices.SortFunc(f.entries, func(a, b entry) int { return strings.Compare(a.path, b.path) })
	return f
}

// name fills in paths and types, and which entries are records that are not in
// an earlier list.
func (f *folder) name(folder string, entries []fs.DirEntry, before *folder) {
	above, ofRecords := sortedWith(folder)
	var known []entry
	if before != nil {
		known = before.entries
	}
	for i, listed := range entries {
		e, name := &f.entries[i], listed.Name()
		e.id.mode = listed.Type()
		for len(known) > 0 && base(known[0].path) < name {
			known = known[1:]
		}
		if len(known) > 0 && base(known[0].path) == name {
			e.path = known[0].path
			continue
		}
		e.path = path.Join(folder, name)
		_, ofRecord := placeOf(e.path)
		e.unseen = ofRecords && above == folder && ofRecord && !hidden(name) && e.id.mode.IsRegular()
	}
}

// base returns the last part of a path.
func base(name string) string { return name[strings.LastIndexByte(name, '/')+1:] }

// list returns the entries of the folder as those of a file system.
func (f *folder) list() []fs.DirEntry {
	if f.err != nil {
		return nil
	}
	out := make([]fs.DirEntry, len(f.entries))
	for i := range f.entries {
		out[i] = dirEntry{&f.entries[i]}
	}
	return out
}

// find returns the place of an entry in a folder.
func (f *folder) find(name string) (int, bool) {
	return slices.BinarySearchFunc(f.entries, name, func(e entry, name string) int { return strings.Compare(base(e.path), name) })
}

// entry returns what is remembered of a path, or nil.
func (t *tree) entry(name string) *entry {
	if f := t.folders[path.Dir(name)]; f != nil {
		if i, found := f.find(base(name)); found {
			return &f.entries[i]
		}
	}
	return nil
}

// entries returns what is remembered of paths, which are named in order and are
// there.
func (t *tree) entries(names []string) []*entry {
	out := make([]*entry, len(names))
	var above string
	var rest []entry
	for i, name := range names {
		if dir := name[:strings.LastIndexByte(name, '/')]; dir != above || len(rest) == 0 {
			above, rest = dir, t.folders[dir].entries
		}
		if rest[0].path != name {
			at, _ := (&folder{entries: rest}).find(base(name))
			rest = rest[at:]
		}
		out[i], rest = &rest[0], rest[1:]
	}
	return out
}

// inside reports whether a path is that of a folder or lies below it.
func inside(name, folder string) bool {
	return folder == "." || name == folder || len(name) > len(folder) && name[len(folder)] == '/' && name[:len(folder)] == folder
}

// dirEntry is an entry as a file system gives it.
type dirEntry struct{ *entry }

// Name is the last part of the path.
func (e dirEntry) Name() string { return base(e.path) }

// IsDir reports whether it is a folder.
func (e dirEntry) IsDir() bool { return e.id.mode.IsDir() }

// Type is the type of the thing.
func (e dirEntry) Type() fs.FileMode { return e.id.mode }

// Info is not known.
func (e dirEntry) Info() (fs.FileInfo, error) { return nil, errors.ErrUnsupported }
