package repository

import (
	"io/fs"
	"path"
	"testing"
	"testing/fstest"
)

func TestOverlayIsAFileSystemOfBoth(t *testing.T) {
	under := fstest.MapFS{
		"plumbrule.toml":          {Data: []byte("format = 1\n")},
		"devices/a.toml":          {Data: []byte("a")},
		"checks/a/2026/old.toml":  {Data: []byte("old")},
		"checks/a/2026/zold.toml": {Data: []byte("zold")},
	}
	for _, name := range []string{"checks/a/2026/new.toml", "checks/a/2027/new.toml", "events/b/new.toml", "devices/b.toml"} {
		both := With(under, name, []byte("new"))
		got, err := fs.ReadFile(both, name)
		if err != nil || string(got) != "new" {
			t.Errorf("%s: %q, %v", name, got, err)
		}
		for at := path.Dir(name); at != "."; at = path.Dir(at) {
			if info, err := fs.Lstat(both, at); err != nil || !info.IsDir() || info.Name() != path.Base(at) {
				t.Errorf("%s on the way to %s: %v, %v", at, name, info, err)
			}
		}
		seen := map[string]bool{}
		for _, top := range []string{"devices", "checks", "events"} {
			walk(t, both, top, seen)
		}
		for _, want := range []string{"devices/a.toml", "checks/a/2026/old.toml", name} {
			if !seen[want] {
				t.Errorf("with %s, a walk does not find %s", name, want)
			}
		}
	}
}

func walk(t *testing.T, fsys fs.FS, folder string, seen map[string]bool) {
	t.Helper()
	entries, err := fs.ReadDir(fsys, folder)
	if err != nil {
		return // a folder only one of the cases has
	}
	for _, e := range entries {
		name := folder + "/" + e.Name()
		if e.IsDir() {
			walk(t, fsys, name, seen)
			continue
		}
		seen[name] = true
	}
}
