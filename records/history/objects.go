package history

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"
	"sync"
)

// ObjectError is that an object is lost or damaged. Other objects can still be
// read.
type ObjectError struct {
	Object string // hash
	Path   string // of a file that needs it
	Commit string // hash of the commit in which it does
	Said   string // by git
}

func (e *ObjectError) Error() string {
	text := fmt.Sprintf("object %s of %s in commit %s cannot be read from git's store", Short(e.Object), e.Path, Short(e.Commit))
	if strings.Contains(e.Said, "promisor remote") {
		return text + `: this clone is partial, and nothing is fetched for a question; "git fetch --no-filter --refetch" brings the rest`
	}
	if e.Said != "" {
		text += " (" + e.Said + ")"
	}
	return text + `: "git fsck" tells the extent, and another clone may have it`
}

// largest is the size in bytes up to which a content is kept in memory; larger
// ones are read while they are used.
const largest = 16 << 20

// objects reads contents one at a time, through a git that stays.
type objects struct {
	repo *Repository

	mutex sync.Mutex
	sizes *reader
	batch *reader
}

// reader is a git cat-file that answers one question after another.
type reader struct {
	process Process
	in      *bufio.Reader
}

// ask starts a git cat-file if there is none and asks it about an object. It
// returns the size.
func (o *objects) ask(ctx context.Context, r **reader, e *entry, mode string) (int64, error) {
	if *r == nil {
		p, err := o.repo.git.Start(ctx, "cat-file", mode)
		if err != nil {
			return 0, err
		}
		*r = &reader{p, bufio.NewReader(p)}
	}
	_, err := io.WriteString((*r).process, e.object+"\n")
	var line string
	if err == nil {
		line, err = (*r).in.ReadString('\n')
	}
	if err != nil {
		return 0, o.drop(r, e)
	}
	size, err := sizeIn(line, e.object)
	if err != nil {
		return 0, e.unreadable("open", "")
	}
	return size, nil
}

// drop ends a git that no longer answers; its complaint is about the entry.
func (o *objects) drop(r **reader, e *entry) error {
	err := (*r).process.Close()
	*r = nil
	var refusal *Refusal
	if errors.As(err, &refusal) || err == nil {
		return e.unreadable("open", saidIn(err))
	}
	return err
}

// size returns how many bytes a file has.
func (o *objects) size(ctx context.Context, e *entry) (int64, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	return o.ask(ctx, &o.sizes, e, "--batch-check")
}

// errLarge is that a content is too large to keep.
var errLarge = errors.New("larger than what is kept in memory")

// read returns the content of an entry, or errLarge.
func (o *objects) read(ctx context.Context, e *entry) ([]byte, error) {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	size, err := o.ask(ctx, &o.sizes, e, "--batch-check")
	if err != nil {
		return nil, err
	}
	if size > largest {
		return nil, errLarge
	}
	if size, err = o.ask(ctx, &o.batch, e, "--batch"); err != nil {
		return nil, err
	}
	content := make([]byte, size)
	if _, err := io.ReadFull(o.batch.in, content); err != nil {
		return nil, o.drop(&o.batch, e)
	}
	if _, err := o.batch.in.Discard(1); err != nil {
		return nil, o.drop(&o.batch, e)
	}
	return content, nil
}

func (o *objects) close() error {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	var errs []error
	for _, r := range []**reader{&o.sizes, &o.batch} {
		if *r != nil {
			_ = (*r).process.CloseWrite()
			errs = append(errs, (*r).process.Close())
			*r = nil
		}
	}
	return errors.Join(errs...)
}

// sizeIn reads the size from "<hash> blob <size>".
func sizeIn(line, object string) (int64, error) {
	fields := strings.Fields(line)
	if len(fields) != 3 || fields[0] != object || fields[1] != "blob" {
		return 0, fmt.Errorf("git cat-file printed %q, expected %s, blob and size", line, object)
	}
	return strconv.ParseInt(fields[2], 10, 64)
}

// saidIn returns what git said, for quoting inside a sentence.
func saidIn(err error) string {
	var refusal *Refusal
	if !errors.As(err, &refusal) {
		return ""
	}
	return strings.Join(strings.Split(refusal.Said, "\n"), "; ")
}

func (e *entry) unreadable(op, said string) error {
	return &fs.PathError{Op: op, Path: e.path, Err: &ObjectError{Object: e.object, Path: e.path, Commit: e.tree.commit.ID, Said: said}}
}
