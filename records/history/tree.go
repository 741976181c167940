package history

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"path"
	"slices"
	"strings"
	"sync"
	"time"
)

// Tree is the records as a commit holds them: a file system whose root is the
// folder of plumbrule.toml. Files are read from git's store of objects; the work
// tree is not looked at. It may be used by several goroutines at once. Close ends
// the git that reads for it.
type Tree struct {
	ctx    context.Context // of the git that reads while files are opened
	repo   *Repository
	commit *Commit
	folder string // inside the git repository, empty or with a slash at its end

	entries map[string]*entry
	bulk    *bulk
	objects *objects
}

// entry is a file, link or folder of a tree.
type entry struct {
	name   string // last part of its path
	mode   fs.FileMode
	object string
	below  []*entry // of a folder
	sort   sync.Once

	tree *Tree
	path string
	bulk *awaited // its content on the way; nil: read when it is opened
}

// siteFile marks the folder of records.
const siteFile = "plumbrule.toml"

// NoRecords means that a commit holds no records where they are looked for.
type NoRecords struct {
	Commit *Commit
	Folder string   // where they were looked for
	Others []string // folders that hold a site file in that commit
}

func (e *NoRecords) Error() string {
	where := "there is no " + siteFile
	if e.Folder != "" {
		where += " in " + strings.TrimSuffix(e.Folder, "/")
	}
	where += " in commit " + e.Commit.Short()
	switch len(e.Others) {
	case 0:
		return where + ", nor in any folder of it"
	case 1:
		return where + "; there is one in " + e.Others[0]
	}
	return where + "; there are several in " + strings.Join(e.Others, ", ")
}

// Records returns the records as a commit holds them. Where the folder of records
// was another one then, and the commit holds exactly one, it is that.
//
// The contents of all files that can be records are read in one stream that
// starts at once, so that loading need not wait for one after another.
func (r *Repository) Records(ctx context.Context, commit *Commit) (*Tree, error) {
	all, err := r.list(ctx, commit.ID)
	if err != nil {
		return nil, fmt.Errorf("the folders of commit %s: %w", commit.Short(), err)
	}
	folder, err := r.folderIn(commit, all)
	if err != nil {
		return nil, err
	}
	t := &Tree{ctx: ctx, repo: r, commit: commit, folder: folder, entries: make(map[string]*entry, len(all)), objects: &objects{repo: r}}
	t.entries["."] = &entry{name: ".", mode: fs.ModeDir, tree: t, path: "."}
	made := make([]entry, len(all))
	for i, l := range all {
		if name, inside := strings.CutPrefix(l.path, folder); inside {
			made[i] = entry{name: path.Base(name), mode: modeOf(l.mode), object: l.object, tree: t, path: name}
			t.put(&made[i])
		}
	}
	if damaged := t.folderDamaged(all); damaged != nil {
		return nil, damaged
	}
	t.bulk, err = t.startBulk(ctx, made)
	return t, err
}

// folderIn returns where the records lie in a commit.
func (r *Repository) folderIn(commit *Commit, all []listed) (string, error) {
	var others []string
	for _, l := range all {
		if l.mode == modeTree && strings.HasPrefix(r.Folder, l.path+"/") {
			return r.Folder, nil // which cannot be read
		}
		if l.path == r.Folder+siteFile {
			return r.Folder, nil
		}
		if path.Base(l.path) == siteFile {
			others = append(others, path.Dir(l.path))
		}
	}
	if len(others) == 1 {
		return strings.TrimPrefix(others[0]+"/", "./"), nil
	}
	return "", &NoRecords{Commit: commit, Folder: r.Folder, Others: others}
}

// folderDamaged returns an error where the folder of records itself, or one on the
// way to it, cannot be read.
func (t *Tree) folderDamaged(all []listed) error {
	for _, l := range all {
		if l.mode == modeTree && strings.HasPrefix(t.folder, l.path+"/") {
			return &ObjectError{Object: l.object, Path: l.path, Commit: t.commit.ID}
		}
	}
	return nil
}

// Folder is where the records lie in the git repository at that commit, empty or
// with a slash at its end.
func (t *Tree) Folder() string { return t.folder }

// Objects yields every file and link with the hash of its content, in no order.
func (t *Tree) Objects() iter.Seq2[string, string] {
	return func(yield func(string, string) bool) {
		for name, e := range t.entries {
			if !e.mode.IsDir() && !yield(name, e.object) {
				return
			}
		}
	}
}

// Close ends what reads for the tree. Files opened before can still be read.
func (t *Tree) Close() error {
	t.bulk.close()
	return t.objects.close()
}

// put adds an entry below its folder, and the folders on the way.
func (t *Tree) put(e *entry) {
	t.entries[e.path] = e
	above := path.Dir(e.path)
	folder := t.entries[above]
	if folder == nil {
		folder = &entry{name: path.Base(above), mode: fs.ModeDir, tree: t, path: above}
		t.put(folder)
	}
	folder.below = append(folder.below, e)
}

// modeOf turns git's mode of a file into that of Go.
func modeOf(mode string) fs.FileMode {
	switch mode {
	case modeLink:
		return fs.ModeSymlink
	case modeSubmodule:
		return fs.ModeDir | fs.ModeIrregular
	case modeTree:
		return fs.ModeDir
	}
	return 0
}

func (t *Tree) find(op, name string) (*entry, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrInvalid}
	}
	if e := t.entries[name]; e != nil {
		return e, nil
	}
	return nil, &fs.PathError{Op: op, Path: name, Err: fs.ErrNotExist}
}

// ReadDir lists a folder, sorted by name.
func (t *Tree) ReadDir(name string) ([]fs.DirEntry, error) {
	e, err := t.find("readdir", name)
	if err != nil {
		return nil, err
	}
	if !e.mode.IsDir() {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: errors.New("a file, expected a folder")}
	}
	if e.mode&fs.ModeIrregular != 0 {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: fmt.Errorf("a submodule, whose files are in another repository (at commit %s)", Short(e.object))}
	}
	if e.object != "" {
		return nil, e.unreadable("readdir", "")
	}
	e.sort.Do(func() { slices.SortFunc(e.below, func(a, b *entry) int { return strings.Compare(a.name, b.name) }) })
	out := make([]fs.DirEntry, len(e.below))
	for i, b := range e.below {
		out[i] = b
	}
	return out, nil
}

// Stat describes a file or folder. Links are not followed: what a commit holds
// is the link.
func (t *Tree) Stat(name string) (fs.FileInfo, error) { return t.Lstat(name) }

// Lstat describes a file, link or folder.
func (t *Tree) Lstat(name string) (fs.FileInfo, error) {
	e, err := t.find("lstat", name)
	if err != nil {
		return nil, err
	}
	return e.Info()
}

// ReadLink returns where a symbolic link leads.
func (t *Tree) ReadLink(name string) (string, error) {
	e, err := t.find("readlink", name)
	if err != nil {
		return "", err
	}
	if e.mode&fs.ModeSymlink == 0 {
		return "", &fs.PathError{Op: "readlink", Path: name, Err: fs.ErrInvalid}
	}
	content, err := t.objects.read(t.ctx, e)
	return string(content), err
}

func (e *entry) Name() string      { return e.name }
func (e *entry) IsDir() bool       { return e.mode.IsDir() }
func (e *entry) Type() fs.FileMode { return e.mode.Type() }

func (e *entry) Info() (fs.FileInfo, error) {
	info := info{entry: e}
	if !e.mode.IsDir() {
		var err error
		if info.size, err = e.tree.objects.size(e.tree.ctx, e); err != nil {
			return nil, err
		}
	}
	return info, nil
}

// info describes a file as a commit has it. A commit keeps no times of files.
type info struct {
	*entry
	size int64
}

func (i info) Size() int64       { return i.size }
func (i info) Mode() fs.FileMode { return i.mode | 0o444 }
func (info) ModTime() time.Time  { return time.Time{} }
func (info) Sys() any            { return nil }
