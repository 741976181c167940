package scan

import (
	"cmp"
	"errors"
	"slices"
	"sync"
)

// textCount is a line that states how many rows follow, and how many did.
type textCount struct {
	at    place
	count int64
	rows  int64
}

// textCounts holds the counts in a text against its rows. As blocks are parsed in any order, each is summed up, and the
// sums are judged in the end.
type textCounts struct {
	first textCount // before the first row

	mu     sync.Mutex
	blocks []*textCountBlock
}

// textCountBlock is what a block of rows means for the counts.
type textCountBlock struct {
	index int
	rows  int64 // before the first count

	counts int64
	line   int64     // of the first count
	last   textCount // with the rows so far
	wrong  textCount // the first that the rows of the block contradict, if wrong.count differs from wrong.rows
}

// parser takes the lines that are counts, and has the others parsed.
func (c *textCounts) parser(parse rowParser) rowParser {
	b := &textCountBlock{index: -1}
	return func(line []byte, l *lines, d *digits, out *filler) error {
		if b.index != out.blocks {
			b = &textCountBlock{index: out.blocks}
			c.mu.Lock()
			c.blocks = append(c.blocks, b)
			c.mu.Unlock()
		}
		if n, ok := countOf(line); ok {
			b.begin(textCount{at: lineAt(l.offset, l.line), count: n})
			return nil
		}
		before := out.records
		err := parse(line, l, d, out)
		if b.counts == 0 {
			b.rows += out.records - before
		} else {
			b.last.rows += out.records - before
		}
		return err
	}
}

// begin goes on with the next count.
func (b *textCountBlock) begin(n textCount) {
	if b.counts == 0 {
		b.line = n.at.line
	} else if b.wrong == (textCount{}) && b.last.rows != b.last.count {
		b.wrong = b.last
	}
	b.counts++
	b.last = n
}

// check returns the first count in the file that its rows contradict. If a fault of the file ended the pass, only what is
// before it matters, and nothing if something else did.
func (c *textCounts) check(in *input, ended error) error {
	var fault *Error
	if ended != nil && !errors.As(ended, &fault) {
		return nil
	}
	slices.SortFunc(c.blocks, func(a, b *textCountBlock) int { return cmp.Compare(a.index, b.index) })
	current := c.first
	for _, b := range c.blocks {
		current.rows += b.rows
		switch {
		case b.counts == 0:
			continue
		case fault != nil && b.line > fault.Line:
			return nil
		case current.rows != current.count:
			return in.miscounted(current)
		case b.wrong != textCount{}:
			return in.miscounted(b.wrong)
		}
		current = b.last
	}
	if ended == nil && c.first.count >= 0 && current.rows != current.count {
		return in.miscounted(current)
	}
	return nil
}

func (in *input) miscounted(n textCount) error {
	follow := "follow"
	if n.rows == 1 {
		follow = "follows"
	}
	return in.fault(n.at, "the file is cut, or its count is wrong: save the scan again", "%s announced, %d %s", counted(n.count, "point"), n.rows, follow)
}
