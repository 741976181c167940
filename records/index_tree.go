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
}

// entry is one thing in a folder.
type entry struct {
	path string // in the repository
	id   identity
	sum  uint64 // of the content when it was last read as a record
	safe bool   // it cannot have been written since without changing its identity
}

// isLink reports whether it is a symbolic link. Where one leads is read when its
// folder is sorted.
func (e *entry) isLink() bool { return e.id.mode&fs.ModeSymlink != 0 }

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
		f = t.list(name)
		t.folders[name] = f
	}
	return f.list(), f.err
}

// list reads a folder.
func (t *tree) list(name string) *folder {
	entries, err := fs.ReadDir(t.below, name)
	if err != nil {
		return &folder{err: err}
	}
	f := &folder{entries: make([]entry, len(entries))}
	_, ofRecords := sortedWith(name)
	inParallel(len(entries), func() struct{} { return struct{}{} }, func(_ struct{}, i int) {
		e := entries[i]
		f.entries[i] = entry{path: path.Join(name, e.Name()), id: identity{mode: e.Type()}}
		if !ofRecords && e.Type().IsRegular() && !strings.EqualFold(path.Ext(e.Name()), suffix) {
			return // nobody reads it
		}
		switch info, err := e.Info(); {
		case err == nil:
			f.entries[i].id = identityOf(info)
		case errors.Is(err, fs.ErrNotExist):
			f.entries[i].path = "" // gone since
		}
		// Where something cannot be looked at, that it is there is known all the same; it then has no time and is never safe.
	})
	f.entries = slices.DeleteFunc(f.entries, func(e entry) bool { return e.path == "" })
	slices.SortFunc(f.entries, func(a, b entry) int { return strings.Compare(a.path, b.path) })
	return f
}

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
	return slices.BinarySearchFunc(f.entries, name, func(e entry, name string) int { return strings.Compare(path.Base(e.path), name) })
}

// entry returns what is remembered of a path, or nil.
func (t *tree) entry(name string) *entry {
	if f := t.folders[path.Dir(name)]; f != nil {
		if i, found := f.find(path.Base(name)); found {
			return &f.entries[i]
		}
	}
	return nil
}

// inside reports whether a path is that of a folder or lies below it.
func inside(name, folder string) bool {
	return folder == "." || name == folder || len(name) > len(folder) && name[len(folder)] == '/' && name[:len(folder)] == folder
}

// dirEntry is an entry as a file system gives it.
type dirEntry struct{ *entry }

// Name is the last part of the path.
func (e dirEntry) Name() string { return path.Base(e.path) }

// IsDir reports whether it is a folder.
func (e dirEntry) IsDir() bool { return e.id.mode.IsDir() }

// Type is the type of the thing.
func (e dirEntry) Type() fs.FileMode { return e.id.mode }

// Info is not known.
func (e dirEntry) Info() (fs.FileInfo, error) { return nil, errors.ErrUnsupported }
