package scan

import (
	"bufio"
	"compress/flate"
	"compress/gzip"
	"context"
	"errors"
	"io"
	"sync"
)

// unpacking makes the input of what gzip (RFC 1952) has packed in the file.
func (in *input) unpacking() *input {
	out := &input{name: in.name, suffix: in.suffix, packed: true, size: -1, file: in.file, bytes: in.bytes}
	out.at = &rewinder{in: out}
	return out
}

// unpack reads the members of a gzip file one after another and checks their sums and lengths.
func (in *input) unpack(src io.Reader) (io.Reader, error) {
	r, err := gzip.NewReader(bufio.NewReaderSize(src, 1<<16))
	if err != nil {
		return nil, in.packedFault(err, 0)
	}
	return &unpacked{in: in, gzip: r}, nil
}

type unpacked struct {
	in     *input
	gzip   *gzip.Reader
	offset int64
}

func (u *unpacked) Read(b []byte) (int, error) {
	n, err := u.gzip.Read(b)
	u.offset += int64(n)
	if err != nil && !errors.Is(err, io.EOF) {
		err = u.in.packedFault(err, u.offset)
	}
	return n, err
}

// packedFault says in our words what gzip found; offset is that in the content up to which it was good.
func (in *input) packedFault(err error, offset int64) error {
	const again = "copy the file again, or unpack it with a program that tells more"
	var damaged flate.CorruptInputError
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return in.fault(byteAt(offset), again, "the gzip stream ends before its trailer: the compressed file is cut")
	case errors.Is(err, gzip.ErrChecksum):
		return in.fault(byteAt(offset), again, "the checksum or the length in the gzip trailer does not hold")
	case errors.Is(err, gzip.ErrHeader):
		return in.fault(byteAt(offset), again, "what follows in the compressed file is no gzip stream")
	case errors.As(err, &damaged):
		return in.fault(byteAt(offset), again, "the compressed data are damaged near byte %d of the compressed file", int64(damaged))
	}
	return err // the reader's own, a shrunk file or the end of the context
}

// rewinder gives packed content by offset, unpacking from the start again to go back.
type rewinder struct {
	in     *input
	mu     sync.Mutex
	src    io.Reader
	offset int64
}

func (r *rewinder) ReadAt(p []byte, offset int64) (int, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.src == nil || offset < r.offset {
		src, err := r.in.stream(context.Background(), 0, nil)
		if err != nil {
			return 0, err
		}
		r.src, r.offset = src, 0
	}
	skipped, err := io.CopyN(io.Discard, r.src, offset-r.offset)
	r.offset += skipped
	if err != nil {
		r.src = nil
		return 0, err
	}
	n, err := io.ReadFull(r.src, p)
	r.offset += int64(n)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = io.EOF
	}
	if err != nil {
		r.src = nil
	}
	return n, err
}
