package scan

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// input is the content of a scan's file: its bytes as they are or, if gzip has packed them, as they were before.
type input struct {
	name   string // as in [Options.Name]
	suffix string // of the name, lower case, without that of gzip: ".ply"
	packed bool   // by gzip

	// size is the length of the content; -1 where it is packed, as only its end tells. See measure.
	size int64

	// at gives the content by offset. For packed content it unpacks from the start again whenever an offset lies behind
	// the last one; whoever reads all of it in order takes a stream. Only streams and measure check the sums of gzip.
	at io.ReaderAt

	file  io.ReaderAt // as it lies on disk
	bytes int64       // of the file
}

func newInput(file io.ReaderAt, bytes int64, name string) *input {
	return &input{name: name, suffix: suffix(name), size: bytes, at: file, file: file, bytes: bytes}
}

func suffix(name string) string {
	name = strings.ToLower(name)
	return path.Ext(strings.TrimSuffix(name, ".gz"))
}

// stream reads the content from an offset to its end. Its errors are those of the context and of the file, a cut, damaged
// or shrunk one among them as an [*Error]; io.EOF is an end where it belongs. The meter counts what lies
// before the offset as read; it may be nil.
func (in *input) stream(ctx context.Context, from int64, m *meter) (io.Reader, error) {
	if !in.packed {
		m.add(from)
		return &plain{ctx: ctx, in: in, offset: from, meter: m}, nil
	}
	r, err := in.unpack(&plain{ctx: ctx, in: in, meter: m})
	if err != nil {
		return nil, err
	}
	if n, err := io.CopyN(io.Discard, r, from); errors.Is(err, io.EOF) {
		return nil, in.fault(byteAt(n), "", "the content ends here, before byte %d", from)
	} else if err != nil {
		return nil, err
	}
	return r, nil
}

// measure returns the length of the content; of a packed one by unpacking it once, which checks its sums as well.
func (in *input) measure(ctx context.Context) (int64, error) {
	if !in.packed {
		return in.size, nil
	}
	r, err := in.stream(ctx, 0, nil)
	if err != nil {
		return 0, err
	}
	return io.Copy(io.Discard, r)
}

// readAt fills p from an offset. An end before that is an [*Error]: whoever asks has compared with the size.
func (in *input) readAt(p []byte, offset int64) error {
	n, err := in.at.ReadAt(p, offset)
	switch {
	case n == len(p):
		return nil
	case err == io.EOF || err == nil:
		return in.shrunk(offset + int64(n))
	}
	return err
}

// shrunk tells of a file that has become shorter than it was when it was opened.
func (in *input) shrunk(end int64) *Error {
	return in.fault(byteAt(end), "read it again once nothing writes to it", "the file ends here, but had %d bytes when it was opened", in.bytes)
}

// place is where a fault is: an offset in the content, -1 for none, and a line, 0 for none.
type place struct{ byte, line int64 }

func byteAt(offset int64) place       { return place{offset, 0} }
func lineAt(offset, line int64) place { return place{offset, line} } // offset of the line's start or of what is wrong in it
func nowhere() place                  { return place{-1, 0} }

// fault makes an [*Error]; mend may be empty.
func (in *input) fault(at place, mend, format string, args ...any) *Error {
	return &Error{File: in.name, Byte: at.byte, Line: at.line, Found: fmt.Sprintf(format, args...), Mend: mend}
}

// plain reads the bytes of the file itself. It is where a pass notices that it is no longer wanted.
type plain struct {
	ctx    context.Context
	in     *input
	offset int64
	meter  *meter
}

func (p *plain) Read(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	left := p.in.bytes - p.offset
	if left <= 0 {
		return 0, io.EOF
	}
	if int64(len(b)) > left {
		b = b[:left]
	}
	n, err := p.in.file.ReadAt(b, p.offset)
	p.offset += int64(n)
	p.meter.add(int64(n))
	switch {
	case n > 0 || len(b) == 0:
		return n, nil
	case err == io.EOF || err == nil:
		return 0, p.in.shrunk(p.offset)
	}
	return 0, err
}
