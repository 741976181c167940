package scan

import (
	"bytes"
	"context"
	"errors"
	"io"
	"sync"
)

// rowsBytes is how much text makes a block: the lines that begin in as many bytes. As three numbers take six bytes with
// what separates them, these are [BlockPoints] at most.
const rowsBytes = 6 * BlockPoints

// rowParser reads a line, of which it gives at most one record to the filler. Faults are made by lines, which knows where
// it is. There is one parser for each worker, so that it may keep what it needs from line to line; blocks come to it
// in any order.
type rowParser func(line []byte, l *lines, d *digits, out *filler) error

// rowsFound is what a run of rows held.
type rowsFound struct {
	finds
	records    int64
	digits     digits
	unfinished bool // the last line has no end
	blocks     int
}

// rows passes over text with a record in each line, several blocks at a time. It begins where l stands and goes on to the
// end, or if there is a limit, to the last block before so many records, after which l goes on.
func (in *input) rows(ctx context.Context, workers int, l *lines, limit int64, parser func() rowParser, visit func(b *Block) error) (rowsFound, error) {
	r := &rowsPass{in: in, visit: visit}
	workers = max(workers, 1)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	work, free := make(chan *rowsText, workers), make(chan *rowsText, 2*workers+1)
	for range cap(free) {
		free <- &rowsText{}
	}
	var parsers sync.WaitGroup
	for range workers {
		parsers.Go(func() {
			w := &rowsWorker{rowsPass: r, parse: parser()}
			for t := range work {
				if err := w.do(t); err != nil {
					r.first.note(t.index, err)
					cancel()
				}
				free <- t // there is room for all
			}
		})
	}
	err := r.cut(ctx, l, limit, free, work)
	close(work)
	parsers.Wait()
	if r.first.err != nil {
		return rowsFound{}, r.first.err // the block came before what ended the cutting
	}
	r.all.blocks = len(r.counts)
	if r.all.nonFinite > 0 {
		for _, records := range r.counts[:r.nonFinite] {
			r.all.firstNonFinite += records
		}
	}
	return r.all, err
}

// rowsPass is one pass over rows.
type rowsPass struct {
	in    *input
	visit func(b *Block) error
	first firstError

	mu        sync.Mutex
	all       rowsFound
	counts    []int64 // of records in each block
	nonFinite int     // the first block with a point that is not finite, which all counts from the start of that block
}

// rowsText is the text of a block.
type rowsText struct {
	buf   []byte
	index int
	start place // offset of the first line, and the number of the one before it
	eol   byte
}

// cut makes blocks of the text and has them parsed.
func (r *rowsPass) cut(ctx context.Context, l *lines, limit int64, free <-chan *rowsText, work chan<- *rowsText) error {
	seen := int64(0) // lines, which are as many records, or more than there are if some are blank
	for index := 0; ; index++ {
		text, err := l.block()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		n := int64(bytes.Count(text, []byte{l.eol}))
		if text[len(text)-1] != l.eol {
			n++
		}
		if limit >= 0 && seen+n > limit {
			return nil
		}
		seen += n
		t, err := receive(ctx, free)
		if err != nil {
			return err
		}
		t.buf = append(t.buf[:0], text...)
		t.index, t.start, t.eol = index, place{l.next, l.line}, l.eol
		l.lo += len(text)
		l.next += int64(len(text))
		l.line += n
		r.mu.Lock()
		r.counts = append(r.counts, 0)
		r.mu.Unlock()
		if err := send(ctx, work, t); err != nil {
			return err
		}
	}
}

// rowsWorker parses blocks.
type rowsWorker struct {
	*rowsPass
	parse rowParser
	block Block
}

func (w *rowsWorker) do(t *rowsText) error {
	l := &lines{in: w.in, buf: t.buf, hi: len(t.buf), atEnd: true, eol: t.eol, line: t.start.line, next: t.start.byte}
	out := &filler{blocks: t.index}
	out.begin(&w.block)
	var d digits
	for {
		line, err := l.read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if err := w.parse(line, l, &d, out); err != nil {
			return err
		}
	}
	w.note(t.index, out, &d, l.unfinished)
	if w.block.Len() == 0 {
		return nil
	}
	return w.visit(&w.block)
}

// note adds what a block held.
func (r *rowsPass) note(index int, out *filler, d *digits, unfinished bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if out.nonFinite > 0 {
		if r.all.nonFinite == 0 || index < r.nonFinite {
			r.nonFinite, r.all.firstNonFinite = index, out.firstNonFinite
		}
		out.firstNonFinite = r.all.firstNonFinite // merging takes the smaller
	}
	r.all.merge(&out.finds)
	r.counts[index] = out.records
	r.all.records += out.records
	r.all.digits.merge(*d)
	r.all.unfinished = r.all.unfinished || unfinished
}
