// Package repository is the folder a records repository lies in: where it is,
// what git says of its files, and how a new record gets into it.
package repository

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"plumbrule/records"
)

// Repository is a folder that holds plumbrule.toml.
type Repository struct {
	Root string // absolute path
}

// ErrNone means that neither the folder nor one above it is a repository.
var ErrNone = errors.New("no " + records.SiteFile + " here or in a folder above")

// Find returns the repository that dir lies in: dir itself or the nearest
// folder above it with plumbrule.toml.
func Find(dir string) (*Repository, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", dir, err)
	}
	if info, err := os.Stat(abs); err != nil || !info.IsDir() {
		return nil, fmt.Errorf("%s is no folder", dir)
	}
	for at := abs; ; at = filepath.Dir(at) {
		if info, err := os.Stat(filepath.Join(at, records.SiteFile)); err == nil && info.Mode().IsRegular() {
			return &Repository{Root: at}, nil
		}
		if at == filepath.Dir(at) {
			return nil, fmt.Errorf("%s: %w", dir, ErrNone)
		}
	}
}

// FS returns the repository's files; on Linux it is a [records.LookFS].
func (r *Repository) FS() fs.FS { return filesOf(r.Root) }

// Path returns the path in the operating system's form of a file named by its
// path inside the repository.
func (r *Repository) Path(name string) string { return filepath.Join(r.Root, filepath.FromSlash(name)) }

// Exists reports whether something lies at the path inside the repository.
func (r *Repository) Exists(name string) bool {
	_, err := os.Lstat(r.Path(name))
	return err == nil
}
