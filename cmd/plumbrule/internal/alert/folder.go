package alert

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// folder is where the journal lies: what of a file system it takes, so that
// tests can let it fail.
type folder interface {
	// read returns the content of a file; [fs.ErrNotExist] for none.
	read(name string) ([]byte, error)
	// appending opens a file at its end, and makes it where there is none.
	appending(name string) (file, error)
	// create makes a file, or empties it.
	create(name string) (file, error)
	// rename puts a file in the place of another, at once and lasting.
	rename(from, to string) error
	remove(name string) error
}

// file is an open file of a folder.
type file interface {
	io.WriteCloser
	Sync() error
	Truncate(size int64) error
	// there tells whether the name still leads to this file.
	there() bool
}

// directory is a folder on disk, for the owner's eyes only.
type directory string

func (d directory) path(name string) string { return filepath.Join(string(d), name) }

func (d directory) read(name string) ([]byte, error) { return os.ReadFile(d.path(name)) }

func (d directory) appending(name string) (file, error) {
	return d.open(name, os.O_APPEND|os.O_CREATE|os.O_WRONLY)
}

func (d directory) create(name string) (file, error) {
	return d.open(name, os.O_TRUNC|os.O_CREATE|os.O_WRONLY)
}

func (d directory) open(name string, flags int) (file, error) {
	f, err := os.OpenFile(d.path(name), flags, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		if err = os.MkdirAll(string(d), 0o700); err == nil {
			f, err = os.OpenFile(d.path(name), flags, 0o600)
		}
	}
	if err != nil {
		return nil, err
	}
	return onDisk{f}, nil
}

func (d directory) rename(from, to string) error {
	if err := os.Rename(d.path(from), d.path(to)); err != nil {
		return err
	}
	f, err := os.Open(string(d))
	if err != nil {
		return err
	}
	_ = f.Sync() // systems that cannot sync a folder lose nothing but the guarantee
	return f.Close()
}

func (d directory) remove(name string) error { return os.Remove(d.path(name)) }

type onDisk struct{ *os.File }

func (f onDisk) there() bool {
	mine, err := f.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(f.Name())
	return err == nil && os.SameFile(mine, there)
}
