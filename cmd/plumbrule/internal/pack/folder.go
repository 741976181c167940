package pack

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Manifest is the name of the list of digests, as sha256sum(1) reads it.
const Manifest = "SHA256SUMS"

// ErrTaken means that there is something where the folder should be.
var ErrTaken = errors.New("is there already and not empty, and a pack is never mixed with other files")

// Folder is a pack that is being written, under another name beside its own. Any
// number of goroutines may add files to it.
type Folder struct {
	dir, partial string
	writers      sync.Pool // of *writer

	mutex   sync.Mutex
	digests map[string]digest // by name
	made    map[string]bool   // folders
}

type digest [sha256.Size]byte

// writer is what a file is written through. A record fits into its buffer, and is
// hashed and written in one go.
type writer struct {
	out  *bufio.Writer
	hash hash.Hash
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
	f := &Folder{dir: dir, partial: partial, digests: map[string]digest{}, made: map[string]bool{}}
	f.writers.New = func() any { return &writer{bufio.NewWriterSize(nil, 1<<16), sha256.New()} }
	return f, nil
}

// Add writes a file that the manifest lists. The name is a path inside the pack;
// one that climbs out, or was added before, is refused.
func (f *Folder) Add(name string, write func(io.Writer) error) error {
	sum, err := f.create(name, write)
	if err != nil {
		return err
	}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.digests[name] = sum
	return nil
}

// AddUnlisted writes a file that the manifest leaves out, because its bytes are
// others each time.
func (f *Folder) AddUnlisted(name string, write func(io.Writer) error) error {
	_, err := f.create(name, write)
	return err
}

func (f *Folder) create(name string, write func(io.Writer) error) (sum digest, err error) {
	if !fs.ValidPath(name) || name == "." || name == Manifest || strings.ContainsRune(name, '\\') {
		return sum, fmt.Errorf("%q is no path inside a pack", name)
	}
	if err := f.makeFolder(path.Dir(name)); err != nil {
		return sum, err
	}
	file, err := os.OpenFile(f.place(name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return sum, fmt.Errorf("%s is added twice", name)
	}
	if err != nil {
		return sum, err
	}
	w := f.writers.Get().(*writer)
	defer f.writers.Put(w)
	w.hash.Reset()
	w.out.Reset(io.MultiWriter(file, w.hash))
	err = write(w.out)
	if err == nil {
		err = w.out.Flush()
	}
	w.hash.Sum(sum[:0])
	return sum, errors.Join(err, file.Close())
}

// makeFolder makes a folder of the pack, and those it lies in, once.
func (f *Folder) makeFolder(name string) error {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if f.made[name] {
		return nil
	}
	f.made[name] = true
	return os.MkdirAll(f.place(name), 0o755)
}

// place is where a file of the pack is written.
func (f *Folder) place(name string) string { return filepath.Join(f.partial, filepath.FromSlash(name)) }

// Read returns the content of a file that was added.
func (f *Folder) Read(name string) ([]byte, error) { return os.ReadFile(f.place(name)) }

// Files returns how many files the manifest will list.
func (f *Folder) Files() int { return len(f.digests) }

// Finish writes the manifest and gives the folder its name.
func (f *Folder) Finish() error {
	names := make([]string, 0, len(f.digests))
	for name := range f.digests {
		names = append(names, name)
	}
	slices.Sort(names)
	err := f.writeManifest(names)
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

// writeManifest writes the digests of files, one a line.
func (f *Folder) writeManifest(names []string) error {
	file, err := os.OpenFile(f.place(Manifest), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(file, 1<<16)
	for _, name := range names {
		sum := f.digests[name]
		_, _ = out.WriteString(manifestLine(name, hex.EncodeToString(sum[:]))) // Flush tells
	}
	return errors.Join(out.Flush(), file.Close())
}

// Abandon removes what was written so far.
func (f *Folder) Abandon() error { return os.RemoveAll(f.partial) }
