package history

import (
	"bufio"
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"sync"
)

// bulk reads the contents of all records in one go, in the order in which they
// are loaded, while they are being loaded.
type bulk struct {
	tree    *Tree
	entries []*entry
	stop    context.CancelFunc
	done    chan struct{}
}

// awaited is a content that is on its way.
type awaited struct {
	here    chan struct{} // closed when it has come; of several files at once
	mutex   sync.Mutex
	content []byte
	found   bool // it is to be had here: not taken yet, not too large
	err     error
}

// take waits for the content and hands it over, once: who asks again has it read
// again, so that it need not be kept.
func (a *awaited) take() (content []byte, found bool, err error) {
	<-a.here
	a.mutex.Lock()
	defer a.mutex.Unlock()
	content, found, err = a.content, a.found, a.err
	a.content, a.found = nil, false
	return content, found, err
}

// together is how many contents are waited for as one.
const together = 64

// startBulk starts to read every file that can be a record, of all in the order
// in which git lists them.
func (t *Tree) startBulk(ctx context.Context, all []entry) (*bulk, error) {
	b := &bulk{tree: t, done: make(chan struct{})}
	for i := range all {
		if e := &all[i]; e.mode == 0 && strings.HasSuffix(e.path, ".toml") {
			b.entries = append(b.entries, e)
		}
	}
	slices.SortFunc(b.entries, func(a, b *entry) int {
		if (a.path == siteFile) != (b.path == siteFile) { // which is loaded first
			if a.path == siteFile {
				return -1
			}
			return 1
		}
		return strings.Compare(a.path, b.path)
	})
	ctx, b.stop = context.WithCancel(ctx)
	waiting := make([]awaited, len(b.entries))
	var here chan struct{}
	for i, e := range b.entries {
		if i == 0 || i%together == 1 { // the first alone: nothing can be read without it
			here = make(chan struct{})
		}
		waiting[i].here = here
		e.bulk = &waiting[i]
	}
	first, err := b.start(ctx, 0)
	if err != nil {
		b.stop()
		close(b.done)
		return b, err
	}
	go b.run(ctx, first)
	return b, nil
}

// start starts a git that is asked for all contents from an index on.
func (b *bulk) start(ctx context.Context, from int) (Process, error) {
	p, err := b.tree.repo.git.Start(ctx, "cat-file", "--batch", "--buffer")
	if err != nil {
		return nil, err
	}
	go func() {
		w := bufio.NewWriterSize(p, 1<<16)
		for _, e := range b.entries[from:] {
			_, _ = w.WriteString(e.object) // where git ends too soon, reading tells
			_ = w.WriteByte('\n')
		}
		_ = w.Flush()
		_ = p.CloseWrite()
	}()
	return p, nil
}

// run reads all contents. Where git ends because one of them is damaged, it goes
// on behind that one.
func (b *bulk) run(ctx context.Context, p Process) {
	defer close(b.done)
	next := 0
	for {
		in := bufio.NewReaderSize(p, 1<<18)
		var err error
		for next < len(b.entries) && err == nil {
			if err = b.receive(in, b.entries[next]); err == nil {
				b.came(next)
				next++
			}
		}
		closed := p.Close()
		if next == len(b.entries) {
			return
		}
		b.entries[next].bulk.err = b.entries[next].unreadable("open", saidIn(closed))
		b.came(next)
		next++
		if ctx.Err() == nil && next < len(b.entries) {
			if p, err = b.start(ctx, next); err == nil {
				continue
			}
		}
		for ; next < len(b.entries); next++ {
			b.entries[next].bulk.err = errors.Join(err, ctx.Err())
			b.came(next)
		}
		return
	}
}

// came tells those who wait that the contents up to an index have come.
func (b *bulk) came(i int) {
	if i == len(b.entries)-1 || b.entries[i+1].bulk.here != b.entries[i].bulk.here {
		close(b.entries[i].bulk.here)
	}
}

// receive reads one content.
func (b *bulk) receive(in *bufio.Reader, e *entry) error {
	line, err := in.ReadString('\n')
	if err != nil {
		return err
	}
	size, err := sizeIn(line, e.object)
	if err != nil {
		e.bulk.err = e.unreadable("open", "")
		return nil //nolint:nilerr // the object is missing; git goes on
	}
	if size > largest {
		_, err := io.CopyN(io.Discard, in, size+1)
		return err
	}
	content := make([]byte, size)
	if _, err := io.ReadFull(in, content); err != nil {
		return err
	}
	if _, err := in.Discard(1); err != nil {
		return err
	}
	e.bulk.content, e.bulk.found = content, true
	return nil
}

// close ends the reading.
func (b *bulk) close() {
	b.stop()
	<-b.done
}
