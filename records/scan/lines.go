package scan

import (
	"bytes"
	"io"
)

// maxLine is the longest line of text that is read, in bytes: room for a thousand columns.
const maxLine = 1 << 16

// lines cuts text into its lines. LF or CR LF ends a line, or CR alone where the first line ends so; the last one may
// have no end.
type lines struct {
	in  *input
	src io.Reader

	buf        []byte
	lo, hi     int
	eol        byte
	atEnd      bool
	unfinished bool // the last line had no end: what wrote the file may have been stopped

	line   int64 // number of the line returned last, from 1
	offset int64 // of its first byte
	next   int64 // offset of the line after it
}

// lines reads text from a stream that begins at an offset of the content, after a number of lines.
func (in *input) lines(src io.Reader, offset, after int64) *lines {
	return &lines{in: in, src: src, buf: make([]byte, 4*maxLine), line: after, next: offset}
}

// read returns the next line without its end, valid until the next call; io.EOF after the last.
func (l *lines) read() ([]byte, error) {
	if l.eol == 0 {
		if err := l.begin(); err != nil {
			return nil, err
		}
	}
	seen := 0
	for {
		i := bytes.IndexByte(l.buf[l.lo+seen:l.hi], l.eol)
		if i >= 0 {
			return l.cut(seen+i, 1)
		}
		seen = l.hi - l.lo
		if seen > maxLine {
			return l.cut(seen, 0) // tells that it is too long
		}
		if l.atEnd {
			if seen == 0 {
				return nil, io.EOF
			}
			l.unfinished = true
			return l.cut(seen, 0)
		}
		if err := l.fill(); err != nil {
			return nil, err
		}
	}
}

// block returns the lines that begin in the next [rowsBytes] and are to be taken by the caller; io.EOF at the end. The
// last of them is cut where it is longer than [maxLine] anyway.
func (l *lines) block() ([]byte, error) {
	if l.eol == 0 {
		if err := l.begin(); err != nil {
			return nil, err
		}
	}
	for {
		text := l.buf[l.lo:l.hi]
		if len(text) >= rowsBytes {
			if i := bytes.IndexByte(text[rowsBytes-1:], l.eol); i >= 0 {
				return text[:rowsBytes+i], nil
			}
		}
		switch {
		case len(text) > rowsBytes+maxLine:
			return text, nil
		case l.atEnd && len(text) == 0:
			return nil, io.EOF
		case l.atEnd:
			return text, nil
		}
		if err := l.fill(); err != nil {
			return nil, err
		}
	}
}

// cut takes n bytes and the line end behind them off the buffer.
func (l *lines) cut(n, end int) ([]byte, error) {
	l.line++
	l.offset = l.next
	if n > maxLine {
		return nil, l.fault("is this the file you meant?", "the line is longer than %d bytes", maxLine)
	}
	line := l.buf[l.lo : l.lo+n]
	l.lo += n + end
	l.next += int64(n + end)
	if n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	return line, nil
}

// fill reads more behind what the buffer still holds, at most a line.
func (l *lines) fill() error {
	if l.lo > 0 {
		l.hi = copy(l.buf, l.buf[l.lo:l.hi])
		l.lo = 0
	}
	n, err := l.src.Read(l.buf[l.hi:])
	l.hi += n
	if err == io.EOF {
		l.atEnd = true
		return nil
	}
	return err
}

// begin finds out how lines end, and passes over a byte order mark.
func (l *lines) begin() error {
	for !l.atEnd && l.hi <= maxLine {
		if i := bytes.IndexAny(l.buf[:l.hi], "\r\n"); i >= 0 && i+1 < l.hi {
			break
		}
		if err := l.fill(); err != nil {
			return err
		}
	}
	l.eol = '\n'
	if i := bytes.IndexAny(l.buf[:l.hi], "\r\n"); i >= 0 && l.buf[i] == '\r' && (i+1 == l.hi || l.buf[i+1] != '\n') {
		l.eol = '\r'
	}
	if l.next == 0 && bytes.HasPrefix(l.buf[:l.hi], []byte(byteOrderMark)) {
		l.lo = len(byteOrderMark)
		l.next = int64(l.lo)
	}
	return nil
}

// fault is one of the line returned last.
func (l *lines) fault(mend, format string, args ...any) *Error {
	return l.in.fault(lineAt(l.offset, l.line), mend, format, args...)
}
