package repository

import (
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"plumbrule/records"
)

// TestLookSeesWhatTheSystemTells compares what a look through a folder says of each thing in it with what the standard library says.
func TestLookSeesWhatTheSystemTells(t *testing.T) {
	root := t.TempDir()
	folder := filepath.Join(root, "checks")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, mode := range map[string]fs.FileMode{"plain.toml": 0o644, "closed.toml": 0, "runs.toml": 0o755, "with blank\n.toml": 0o600} {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(name), mode); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, time.Time{}, time.Date(1969, 7, 20, 20, 17, 40, int(mode)+1, time.UTC)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("nowhere", filepath.Join(folder, "link.toml")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(folder, "2026"), 0o700); err != nil {
		t.Fatal(err)
	}
	socket, err := (&net.ListenConfig{}).Listen(t.Context(), "unix", filepath.Join(folder, "socket"))
	if err != nil {
		t.Fatal(err)
	}
	defer socket.Close()

	files := (&Repository{Root: root}).FS()
	below, can := files.(records.LookFS)
	if !can {
		t.Fatal("it cannot be looked through")
	}
	listed, err := fs.ReadDir(files, "checks")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]fs.FileInfo{}
	for _, e := range listed {
		if want[e.Name()], err = e.Info(); err != nil {
			t.Fatal(err)
		}
	}
	met := 0
	err = below.Look("checks", func(e fs.DirEntry) bool {
		met++
		got, err := e.Info()
		w := want[e.Name()]
		if err != nil || w == nil {
			t.Errorf("%q: %v, and the library knows %v", e.Name(), err, w)
			return true
		}
		if got.Name() != w.Name() || got.Size() != w.Size() || got.Mode() != w.Mode() || !got.ModTime().Equal(w.ModTime()) || got.IsDir() != w.IsDir() || e.Type() != w.Mode().Type() {
			t.Errorf("%q: %d %s %s, want %d %s %s", e.Name(), got.Size(), got.Mode(), got.ModTime(), w.Size(), w.Mode(), w.ModTime())
		}
		gotInode, gotChanged := systemOf(got)
		if inode, changed := systemOf(w); gotInode != inode || gotChanged != changed {
			t.Errorf("%q: inode %d changed %d, want %d, %d", e.Name(), gotInode, gotChanged, inode, changed)
		}
		return true
	})
	if err != nil || met != len(listed) {
		t.Errorf("%d met: %v, want %d", met, err, len(listed))
	}
	met = 0
	if err := below.Look("checks", func(fs.DirEntry) bool { met++; return false }); err != nil || met != 1 {
		t.Errorf("%d met after the first was enough: %v", met, err)
	}
	for _, name := range []string{"nowhere", "../checks", "checks/plain.toml"} {
		if err := below.Look(name, func(fs.DirEntry) bool { return true }); err == nil {
			t.Errorf("%s was looked through", name)
		}
	}
}

// systemOf is the number of a file's inode, and when it was changed last, in ns since 1970.
func systemOf(info fs.FileInfo) (inode uint64, changed int64) {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return s.Ino, s.Ctim.Nano()
	}
	return 0, 0
}
