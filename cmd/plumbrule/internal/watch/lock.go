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

// Lock takes the lock of a state directory, so that there is one watcher for it. The system lets go of it when the process
// ends, however it ends. What is written into the file tells a person who holds it.
func Lock(dir, who string) (unlock func(), err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	name := filepath.Join(dir, "lock")
	l := flock.New(name)
	held, err := l.TryLock()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if !held {
		holder, _ := os.ReadFile(name)
		return nil, fmt.Errorf("%w: %s", ErrLocked, strings.TrimSpace(string(holder)))
	}
	if err := os.WriteFile(name, []byte(who+"\n"), 0o600); err != nil {
		_ = l.Unlock()
		return nil, err
	}
	return func() { _ = l.Unlock() }, nil
}
