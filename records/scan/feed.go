package scan

import "io"

// feed is a stream of binary data with a buffer in which records can be looked at before they are taken.
type feed struct {
	src    io.Reader
	buf    []byte
	lo, hi int
	offset int64 // of the byte at lo in the content
	atEnd  bool
}

// newFeed reads from a stream that begins at an offset of the content.
func newFeed(src io.Reader, offset int64) *feed {
	return &feed{src: src, buf: make([]byte, chunkBytes), offset: offset}
}

// reset goes on with another stream.
func (f *feed) reset(src io.Reader, offset int64) {
	*f = feed{src: src, buf: f.buf, offset: offset}
}

// look returns what is in the buffer, at least n bytes unless the content ends before; n is at most [chunkBytes].
func (f *feed) look(n int) ([]byte, error) {
	for f.hi-f.lo < n && !f.atEnd {
		if f.lo > 0 {
			f.hi = copy(f.buf, f.buf[f.lo:f.hi])
			f.lo = 0
		}
		m, err := f.src.Read(f.buf[f.hi:])
		f.hi += m
		if err == io.EOF {
			f.atEnd = true
		} else if err != nil {
			return nil, err
		}
	}
	return f.buf[f.lo:f.hi], nil
}

// take passes over n bytes that were looked at.
func (f *feed) take(n int) {
	f.lo += n
	f.offset += int64(n)
}

// skip passes over n bytes and returns how many of them there are.
func (f *feed) skip(n int64) (skipped int64, err error) {
	for skipped < n {
		b, err := f.look(1)
		if err != nil || len(b) == 0 {
			return skipped, err
		}
		m := int(min(int64(len(b)), n-skipped))
		f.take(m)
		skipped += int64(m)
	}
	return skipped, nil
}

// rest reads to the end of the content, which checks the sums of a packed one, and returns how many bytes there were.
func (f *feed) rest() (int64, error) {
	const all = 1<<63 - 1
	return f.skip(all)
}
