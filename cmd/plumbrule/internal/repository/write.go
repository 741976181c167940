package repository

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrExists means that a record of that name is there; it is never replaced.
var ErrExists = errors.New("a record of that name exists, and nothing recorded is rewritten")

// Create writes a new file under its path inside the repository. The file
// appears there complete or not at all, also when the machine stops in
// between, and an existing one is never touched: the text goes to a temporary
// name first, reaches the disk, and is then linked to its own name, which fails
// where one exists.
func (r *Repository) Create(name string, text []byte) error {
	return r.CreateFrom(name, func() (io.Reader, error) { return bytes.NewReader(text), nil })
}

// CreateFrom does so with a content that is read from the start, a second time where the file system has no links.
func (r *Repository) CreateFrom(name string, content func() (io.Reader, error)) (err error) {
	final := r.Path(name)
	folder := filepath.Dir(final)
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	temporary, err := os.CreateTemp(folder, ".new-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.Remove(temporary.Name())) }()
	if err := fill(temporary, content); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	err = os.Link(temporary.Name(), final)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", name, ErrExists)
	case err != nil:
		err = createExclusively(final, content) // file systems without hard links
	}
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return syncFolder(folder)
}

// fill writes the content, gives it the mode of an ordinary file and waits until
// it is on the disk.
func fill(f *os.File, content func() (io.Reader, error)) error {
	from, err := content()
	if err == nil {
		_, err = io.Copy(f, from)
	}
	return errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
}

func createExclusively(final string, content func() (io.Reader, error)) error {
	f, err := os.OpenFile(final, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return ErrExists
	}
	if err != nil {
		return err
	}
	if err := fill(f, content); err != nil {
		return errors.Join(err, os.Remove(final))
	}
	return nil
}

// syncFolder makes the new name last; systems that cannot sync a folder lose
// nothing but the guarantee.
func syncFolder(folder string) error {
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	_ = f.Sync()
	return f.Close()
}
