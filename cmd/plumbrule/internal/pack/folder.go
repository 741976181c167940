package pack

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// Manifest is the name of the list of digests, as sha256sum(1) reads it.
const Manifest = "SHA256SUMS"

// ErrTaken means that there is something where the folder should be.
var ErrTaken = errors.New("is there already and not empty, and a pack is never mixed with other files")

// Folder is a pack that is being written, under another name beside its own, by
// one goroutine at a time.
type Folder struct {
	dir, partial string
	digests      map[string]string // by name
	made         map[string]bool   // folders
}

// Begin begins a folder that is to appear as dir, which must not exist or be
// empty. Whoever begins one ends it with [Folder.Finish] or [Folder.Abandon].
func Begin(dir string) (*Folder, error) {
	if list, err := os.ReadDir(dir); err == nil && len(list) > 0 {
		return nil, ErrTaken
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	partial, err := os.MkdirTemp(filepath.Dir(dir), "."+filepath.Base(dir)+"-*")
	if err != nil {
		return nil, err
	}
	return &Folder{dir: dir, partial: partial, digests: map[string]string{}, made: map[string]bool{}}, nil
}

// Add writes a file that the manifest lists. The name is a path inside the pack;
// one that climbs out, or was added before, is refused.
func (f *Folder) Add(name string, write func(io.Writer) error) error {
	if _, twice := f.digests[name]; twice {
		return fmt.Errorf("%s is added twice", name)
	}
	hash := sha256.New()
	if err := f.create(name, func(w io.Writer) error { return write(io.MultiWriter(w, hash)) }); err != nil {
		return err
	}
	f.digests[name] = hex.EncodeToString(hash.Sum(nil))
	return nil
}

// AddUnlisted writes a file that the manifest leaves out, because its bytes are
// others each time.
func (f *Folder) AddUnlisted(name string, write func(io.Writer) error) error {
	return f.create(name, write)
}

func (f *Folder) create(name string, write func(io.Writer) error) (err error) {
	if !fs.ValidPath(name) || name == "." || name == Manifest || strings.ContainsRune(name, '\\') {
		return fmt.Errorf("%q is no path inside a pack", name)
	}
	full := filepath.Join(f.partial, filepath.FromSlash(name))
	if parent := path.Dir(name); !f.made[parent] {
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			return err
		}
		f.made[parent] = true
	}
	file, err := os.OpenFile(full, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(file)
	err = write(out)
	if err == nil {
		err = out.Flush()
	}
	return errors.Join(err, file.Close())
}

// Files returns how many files the manifest will list.
func (f *Folder) Files() int { return len(f.digests) }

// Finish writes the manifest and gives the folder its name.
func (f *Folder) Finish() error {
	names := make([]string, 0, len(f.digests))
	for name := range f.digests {
		names = append(names, name)
	}
	slices.Sort(names)
	var list strings.Builder
	for _, name := range names {
		list.WriteString(manifestLine(name, f.digests[name]))
	}
	err := os.WriteFile(filepath.Join(f.partial, Manifest), []byte(list.String()), 0o644)
	if err == nil {
		err = os.Chmod(f.partial, 0o755)
	}
	if err == nil {
		if err = os.Remove(f.dir); errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
	}
	if err == nil {
		err = os.Rename(f.partial, f.dir)
	}
	if err != nil {
		return errors.Join(err, os.RemoveAll(f.partial))
	}
	return nil
}

// Abandon removes what was written so far.
func (f *Folder) Abandon() error { return os.RemoveAll(f.partial) }
