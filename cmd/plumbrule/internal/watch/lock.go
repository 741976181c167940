package watch

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/gofrs/flock"
)

// ErrLocked means that another watcher looks after the same records.
var ErrLocked = errors.New("another watcher looks after these records")

// lockName is the file of a state directory that is locked.
const lockName = "lock"

// Held is what a watcher has locked: its state directory, which must not be written by two, and the repository's folder, which must not be
// taken in by two. The system lets go of both when the process ends, however it ends.
type Held struct {
	dir, who string
	state    *flock.Flock
	at       os.FileInfo // of the lock that is held
	records  *flock.Flock
}

// Take locks a repository's folder and a state directory; root may be empty, for one who only writes notes. What is written into the state
// directory's lock tells a person who holds it.
func Take(root, dir, who string) (*Held, error) {
	h := &Held{dir: dir, who: who}
	if err := h.takeState(); err != nil {
		return nil, err
	}
	if root == "" {
		return h, nil
	}
	h.records = flock.New(root, flock.SetFlag(os.O_RDONLY))
	switch held, err := h.records.TryLock(); {
	case err != nil:
		h.records = nil // some file systems lock no folders; the state directory's lock is what there is then
	case !held:
		h.Release()
		return nil, fmt.Errorf("%w, with a state directory of its own", ErrLocked)
	}
	return h, nil
}

func (h *Held) takeState() error {
	if err := os.MkdirAll(h.dir, 0o700); err != nil {
		return err
	}
	name := filepath.Join(h.dir, lockName)
	l := flock.New(name)
	held, err := l.TryLock()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if !held {
		holder, _ := os.ReadFile(name)
		return fmt.Errorf("%w: %s", ErrLocked, strings.TrimSpace(string(holder)))
	}
	if err := os.WriteFile(name, []byte(h.who+"\n"), 0o600); err != nil {
		return errors.Join(err, l.Unlock())
	}
	h.state = l
	h.at, err = os.Stat(name)
	return err
}

// Again takes the state directory's lock once more if the folder was removed or replaced. It reports whether it had to; an error says that it
// could not, and that another may be at work.
func (h *Held) Again() (bool, error) {
	now, err := os.Stat(filepath.Join(h.dir, lockName))
	if err == nil && os.SameFile(now, h.at) {
		return false, nil
	}
	before := h.state
	if err := h.takeState(); err != nil {
		return true, err
	}
	_ = before.Unlock() // of a file that is gone
	return true, nil
}

// Release lets go.
func (h *Held) Release() {
	for _, l := range []*flock.Flock{h.state, h.records} {
		if l != nil {
			_ = l.Unlock()
		}
	}
}

// Known reports whether a watcher was ever at work with a state directory.
func Known(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, lockName))
	return err == nil
}
