package records

import (
	"io/fs"
	"maps"
	"slices"
	"testing"
	"testing/fstest"
	"time"

	"pgregory.net/rapid"
)

// lookedThrough is a living repository that is a [LookFS].
type lookedThrough struct{ *living }

func (l lookedThrough) Look(folder string, see func(fs.DirEntry) bool) error {
	list, err := l.ReadDir(folder)
	if err != nil {
		return err
	}
	slices.Reverse(list) // any order
	for _, e := range list {
		if !see(e) {
			return nil
		}
	}
	return nil
}

// eitherWay draws whether a living repository can be looked through folder by
// folder.
func eitherWay(t *rapid.T, l *living) fs.ReadDirFS {
	if rapid.Bool().Draw(t, "look") {
		return lookedThrough{l}
	}
	return l
}

// twice shows one thing in a folder twice, and another one not at all, as a
// folder may that changes while it is listed.
type twice struct {
	fstest.MapFS
	hidden string
}

func (f *twice) Look(folder string, see func(fs.DirEntry) bool) error {
	list, err := f.MapFS.ReadDir(folder)
	if err != nil {
		return err
	}
	for i, e := range list {
		if e.Name() == f.hidden {
			e = list[(i+1)%len(list)]
		}
		if !see(e) {
			return nil
		}
	}
	return nil
}

func (f *twice) ReadDir(folder string) ([]fs.DirEntry, error) {
	list, err := f.MapFS.ReadDir(folder)
	return slices.DeleteFunc(list, func(e fs.DirEntry) bool { return e.Name() == f.hidden }), err
}

// TestLookNeedsAll looks through a folder that shows as many things as before,
// and not the same ones.
func TestLookNeedsAll(t *testing.T) {
	f := &twice{MapFS: maps.Clone(goodFiles(t))}
	again := *f.MapFS[checkFile]
	f.MapFS["checks/scan-02/2026/2026-09-29T0812-bar-weekly.toml"] = &again
	x := OpenIndex(f, Options{}, func() time.Time { return evaluated.Add(1000 * time.Hour) })
	f.hidden = "2026-09-29T0812-bar-weekly.toml"
	if change := x.Rescan(); len(change.Files) != 1 {
		t.Errorf("changed: %v, want the one that is gone", change.Files)
	}
}
