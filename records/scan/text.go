package scan

import (
	"bytes"
	"context"
	"fmt"
)

// openText reads the first lines of text with a point in each: XYZ and its kin, PTS, TXT, ASC, CSV. Columns stand between
// blanks, tabs, commas or semicolons; x, y and z are the first three unless a line of names says otherwise. A line with a
// number alone is the count of the rows that follow.
func openText(in *input) (Head, blockReader, error) {
	src, err := in.stream(context.Background(), 0, nil)
	if err != nil {
		return Head{}, nil, err
	}
	o := textOpening{in: in, lines: in.lines(src, 0, 0)}
	if err := o.read(); err != nil {
		return Head{}, nil, err
	}
	unit, err := o.names.unit(in)
	if err != nil {
		return Head{}, nil, err
	}
	head := Head{Format: fmt.Sprintf("text, %d columns separated by %s", o.rows.columns, delimiterName(o.rows.delimiter)), Unit: unit, Declared: o.count.count}
	return head, &textReader{in: in, rows: o.rows, start: o.start, count: o.count}, nil
}

func delimiterName(delimiter byte) string {
	switch delimiter {
	case ',':
		return "commas"
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return "blanks"
}

// textReader reads the rows of a text.
type textReader struct {
	in    *input
	rows  textRows
	start place     // offset of the first row, and the number of the line before it
	count textCount // of the rows; -1: it is not stated
}

func (t *textReader) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	counts := textCounts{first: t.count}
	found, err := t.rows.pass(ctx, t.in, how, t.start, func() rowParser {
		if t.count.count < 0 {
			return t.rows.parser()
		}
		return counts.parser(t.rows.parser())
	}, visit)
	if miscounted := counts.check(t.in, err); miscounted != nil {
		return Tally{}, miscounted
	}
	if err != nil {
		return Tally{}, err
	}
	return found.text(t.in)
}

// pass reads the rows from a place on.
func (r *textRows) pass(ctx context.Context, in *input, how Reading, start place, parser func() rowParser, visit func(b *Block) error) (rowsFound, error) {
	src, err := in.stream(ctx, start.byte, how.meter(in))
	if err != nil {
		return rowsFound{}, err
	}
	l := in.lines(src, start.byte, start.line)
	l.eol = r.eol
	return in.rows(ctx, how.Workers, l, -1, parser, visit)
}

// text makes the tally of a text that was read to its end.
func (f *rowsFound) text(in *input, warnings ...string) (Tally, error) {
	if f.unfinished {
		warnings = append(warnings, unfinishedLine)
	}
	t, err := f.tally(in, "point", warnings...)
	t.Step = f.digits.step()
	return t, err
}

// parser reads the rows one by one.
func (r *textRows) parser() rowParser {
	var xyz [3]float64
	return func(line []byte, l *lines, d *digits, out *filler) error {
		if r.passedOver(line) {
			return nil
		}
		if columns, bad := r.read(line, &xyz, d); columns != r.columns || bad >= 0 {
			return r.judge(string(line), l)
		}
		return out.point(xyz[0], xyz[1], xyz[2])
	}
}

// countOf reads a line that is nothing but a whole number.
func countOf(line []byte) (n int64, ok bool) {
	line = bytes.TrimSpace(line)
	for _, c := range line {
		if c-'0' > 9 {
			return 0, false
		}
		const most = 1<<63 - 1
		if n > (most-9)/10 {
			return most, true // more than any file has
		}
		n = 10*n + int64(c-'0')
	}
	return n, len(line) > 0
}
