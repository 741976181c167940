package inbox

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// failing is a file system in which nothing can be written in and below a folder.
type failing struct {
	system
	folder string
	with   error
}

func (f *failing) err(name string) error {
	if f.with != nil && strings.HasPrefix(name+"/", f.folder+"/") {
		return &fs.PathError{Op: "write", Path: name, Err: f.with}
	}
	return nil
}

func (f *failing) mkdir(name string) error {
	return orElse(f.err(name), func() error { return f.system.mkdir(name) })
}

func (f *failing) create(name string) (t target, err error) {
	if err := f.err(name); err != nil {
		return nil, err
	}
	return f.system.create(name)
}

func (f *failing) move(from, to string) error {
	return orElse(f.err(to), func() error { return f.system.move(from, to) })
}

func (f *failing) replace(from, to string) error {
	return orElse(f.err(to), func() error { return f.system.replace(from, to) })
}

func (f *failing) remove(name string) error {
	return orElse(f.err(name), func() error { return f.system.remove(name) })
}

func orElse(err error, f func() error) error {
	if err != nil {
		return err
	}
	return f()
}

// A full disk, a read-only one and missing permissions are no faults of a drop:
// it stays, and is taken in when they are over.
func TestTroubleWithTheDisk(t *testing.T) {
	for _, errno := range []syscall.Errno{syscall.ENOSPC, syscall.EROFS, syscall.EACCES, syscall.EIO} {
		for _, folder := range []string{"checks", "scans", Folder, "../state"} {
			t.Run(folder+" "+errno.Error(), func(t *testing.T) {
				w := newWorks(t)
				d := &failing{folder: filepath.Join(w.root, folder), with: errno}
				w.disk = d
				w.restart()
				w.drop("bar.ply", "points")
				w.drop("bar.ply.toml", said)
				w.drop("bad.ply", "no points")
				w.drop("bad.ply.toml", "x = 1\n")
				r := w.after(5 * time.Second)
				if len(r.Taken) > 0 || len(r.Trouble) == 0 || !strings.Contains(r.Trouble[0].Why, errno.Error()) {
					t.Errorf("%+v", r)
				}
				for range 3 {
					w.clock.at = w.clock.at.Add(time.Minute)
					w.look()
				}
				d.with = nil
				if r := w.after(time.Minute); len(r.Taken) != 1 {
					t.Errorf("%+v", r)
				}
				w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
				w.want("scans", "scan-01/2026/bar.ply", "scan-01/2026/bar.ply.toml.txt")
				w.want(Folder, "refused/bad.ply", "refused/bad.ply.toml", "refused/bad.ply.reason.txt")
				w.nothingUnderWay()
			})
		}
	}
}

// Folders that cannot be written to are trouble, and the drop is taken in when
// they can.
func TestReadOnlyFolders(t *testing.T) {
	if os.Getuid() == 0 {
		t.Skip("nothing is read-only for the superuser")
	}
	for _, folder := range []string{"checks", "scans", Folder} {
		t.Run(folder, func(t *testing.T) {
			w := newWorks(t)
			w.drop("bar.ply", "points")
			w.drop("bar.ply.toml", said)
			name := filepath.Join(w.root, folder)
			w.mkdir(name)
			if err := os.Chmod(name, 0o555); err != nil {
				t.Fatal(err)
			}
			r := w.after(5 * time.Second)
			if len(r.Taken)+len(r.Refused) > 0 || len(r.Trouble) == 0 || !strings.Contains(r.Trouble[0].Why, "permission denied") {
				t.Errorf("%+v", r)
			}
			if err := os.Chmod(name, 0o755); err != nil {
				t.Fatal(err)
			}
			if r := w.after(time.Minute); len(r.Taken) != 1 {
				t.Errorf("%+v", r)
			}
			w.want("checks", "scan-01/2026/2026-10-05T0812-bar-weekly.toml")
			w.want(Folder)
			w.nothingUnderWay()
		})
	}
}
