package records

import (
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// countingFS counts which files are opened, folders apart.
type countingFS struct {
	fs.ReadDirFS
	fs.ReadLinkFS
	opened *atomic.Int64
}

func (c countingFS) Open(name string) (fs.File, error) {
	c.opened.Add(1)
	return c.ReadDirFS.Open(name)
}

// TestIndexOnDisk follows files on the disk. What was not written is not read
// again; what was is, though it has the size and the time that it had.
func TestIndexOnDisk(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(dir, goodFiles(t)); err != nil {
		t.Fatal(err)
	}
	var opened atomic.Int64
	below := os.DirFS(dir)
	files := countingFS{below.(fs.ReadDirFS), below.(fs.ReadLinkFS), &opened}
	later := func() time.Time { return time.Now().Add(time.Hour) } // so that nothing was written just now
	x := OpenIndex(files, Options{}, later)
	opened.Store(0)
	if change := x.Rescan(); !change.IsZero() || opened.Load() > 0 {
		t.Errorf("%d files were read again, of which none was written: %+v", opened.Load(), change)
	}

	path := filepath.Join(dir, filepath.FromSlash(checkFile))
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(goodFiles(t)[checkFile].Data), "800.031", "800.032", 1)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if identified {
		time.Sleep(10 * time.Millisecond) // longer than the grain of the time of a change
		if err := os.Chtimes(path, time.Time{}, info.ModTime()); err != nil {
			t.Fatal(err)
		}
	}
	opened.Store(0)
	change := x.Rescan()
	if len(change.Files) != 1 || change.Files[0] != checkFile || opened.Load() != 1 {
		t.Errorf("%d files were read again, of which one was written: %+v", opened.Load(), change)
	}
	got, _ := x.Set()
	if want, _ := Load(below, Options{}); !reflect.DeepEqual(got, want) {
		t.Error("the set is not that of a load")
	}
}
