package repository

import (
	"bytes"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"
)

// With returns the files of fsys and one more, so that a record can be
// validated among the others before it is written.
func With(fsys fs.FS, name string, text []byte) fs.FS {
	return overlay{under: fsys, name: name, text: text}
}

type overlay struct {
	under fs.FS
	name  string
	text  []byte
}

func (o overlay) Open(name string) (fs.File, error) {
	if name == o.name {
		return &opened{entry: o.entry(), Reader: bytes.NewReader(o.text)}, nil
	}
	return o.under.Open(name)
}

func (o overlay) entry() entry { return entry{path.Base(o.name), int64(len(o.text)), 0} }

// Stat answers for the folders of the file as well, which may not exist yet.
func (o overlay) Stat(name string) (fs.FileInfo, error) {
	switch {
	case name == o.name:
		return o.entry(), nil
	case strings.HasPrefix(o.name, name+"/"):
		return entry{path.Base(name), 0, fs.ModeDir}, nil
	}
	return fs.Stat(o.under, name)
}

// ReadDir lists a folder of both.
func (o overlay) ReadDir(name string) ([]fs.DirEntry, error) {
	list, err := fs.ReadDir(o.under, name)
	below, inside := strings.CutPrefix(o.name, name+"/")
	if name == "." {
		below, inside = o.name, true
	}
	if !inside {
		return list, err
	}
	added := o.entry()
	if first, _, deeper := strings.Cut(below, "/"); deeper {
		added = entry{first, 0, fs.ModeDir}
	}
	if !slices.ContainsFunc(list, func(e fs.DirEntry) bool { return e.Name() == added.name }) {
		list = append(list, fs.FileInfoToDirEntry(added))
	}
	slices.SortFunc(list, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return list, nil
}

// ReadLink passes links of the repository through.
func (o overlay) ReadLink(name string) (string, error) { return fs.ReadLink(o.under, name) }

// Lstat passes links of the repository through; the folders of the file may not
// exist yet.
func (o overlay) Lstat(name string) (fs.FileInfo, error) {
	if name == o.name {
		return o.entry(), nil
	}
	info, err := fs.Lstat(o.under, name)
	if errors.Is(err, fs.ErrNotExist) && strings.HasPrefix(o.name, name+"/") {
		return entry{path.Base(name), 0, fs.ModeDir}, nil
	}
	return info, err
}

// opened is the one file while it is read.
type opened struct {
	entry
	*bytes.Reader
}

func (f *opened) Stat() (fs.FileInfo, error) { return f.entry, nil }
func (f *opened) Close() error               { return nil }

// Size is the file's, not what is left to read.
func (f *opened) Size() int64 { return f.size }

// entry describes the file, or a folder on the way to it.
type entry struct {
	name string
	size int64
	mode fs.FileMode
}

func (e entry) Name() string       { return e.name }
func (e entry) Size() int64        { return e.size }
func (e entry) Mode() fs.FileMode  { return e.mode | 0o644 }
func (e entry) ModTime() time.Time { return time.Time{} }
func (e entry) IsDir() bool        { return e.mode.IsDir() }
func (e entry) Sys() any           { return nil }
