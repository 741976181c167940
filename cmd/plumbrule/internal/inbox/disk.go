package inbox

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// disk is what the inbox does with a file system. Tests let it fail and end at
// any of these steps. Names are those of the operating system.
type disk interface {
	readDir(name string) ([]fs.DirEntry, error)
	lstat(name string) (fs.FileInfo, error)
	// open opens an ordinary file, and anything else not at all.
	open(name string) (source, error)
	mkdir(name string) error
	// create makes a file that does not exist.
	create(name string) (target, error)
	// move gives a file another name where nothing has that name: [fs.ErrExist]
	// otherwise.
	move(from, to string) error
	// replace gives a file another name, and takes the place of what has it.
	replace(from, to string) error
	remove(name string) error
	// settle waits until the names in a folder are on the disk.
	settle(folder string) error
}

type source interface {
	io.ReadCloser
	Stat() (fs.FileInfo, error)
}

type target interface {
	io.WriteCloser
	Sync() error
}

// errIrregular means that a name leads to something else than an ordinary file.
var errIrregular = errors.New("it is no ordinary file")

// system is the operating system's.
type system struct{}

func (system) readDir(name string) ([]fs.DirEntry, error) { return os.ReadDir(name) }
func (system) lstat(name string) (fs.FileInfo, error)     { return os.Lstat(name) }
func (system) mkdir(name string) error                    { return os.Mkdir(name, 0o755) }
func (system) replace(from, to string) error              { return os.Rename(from, to) }
func (system) remove(name string) error                   { return os.Remove(name) }

func (system) open(name string) (source, error) {
	before, err := os.Lstat(name)
	if err != nil {
		return nil, err
	}
	if !before.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: %w", name, errIrregular)
	}
	// Something else may have come in its place since: a link is not followed, a pipe not waited for.
	f, err := os.OpenFile(name, os.O_RDONLY|noFollow, 0)
	if err != nil {
		return nil, err
	}
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() || !os.SameFile(before, info) {
		return nil, errors.Join(fmt.Errorf("%s: %w", name, errChanged), err, f.Close())
	}
	return f, nil
}

func (system) create(name string) (target, error) {
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
}

// settle waits for the folder; systems that cannot sync one lose nothing but the
// guarantee.
func (system) settle(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	_ = f.Sync()
	return f.Close()
}

// moveByLink gives a file another name on file systems that cannot do so in one
// step without replacing. Those without links leave a moment between looking and
// renaming.
func moveByLink(from, to string) error {
	if _, err := os.Lstat(to); err == nil {
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: fs.ErrExist}
	}
	switch err := os.Link(from, to); {
	case err == nil:
		return os.Remove(from)
	case errors.Is(err, fs.ErrExist), errors.Is(err, fs.ErrNotExist):
		return err
	}
	return os.Rename(from, to)
}

// folders makes a folder and those above it, each on the disk before the next.
func (b *Inbox) folders(name string) error {
	info, err := b.disk.lstat(name)
	if err == nil && info.Mode()&fs.ModeSymlink != 0 {
		info, err = os.Stat(name)
	}
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return fmt.Errorf("%s is there and no folder", name)
	case !errors.Is(err, fs.ErrNotExist) || filepath.Dir(name) == name:
		return err
	}
	if err := b.folders(filepath.Dir(name)); err != nil {
		return err
	}
	if err := b.disk.mkdir(name); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return b.disk.settle(filepath.Dir(name))
}
