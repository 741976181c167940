package scan

import (
	"context"
	"fmt"
)

// LZF (Marc Lehmann's LibLZF, as PCD has it) is a sequence of literals and references. A control byte c below 32 has c + 1
// literal bytes behind it. Any other is a reference to bytes that have come out: its upper three bits plus 2 are their
// number, with the next byte added first if the bits are all set; its lower five bits and a further byte are the
// distance less 1. Bytes are copied one by one, for a reference may reach into itself.
const (
	lzfReach   = 1 << 13 // farthest reference back
	lzfLongest = 264     // bytes of one reference, from three
	lzfRatio   = 88      // which is the most that can come out, for each byte
)

// lzf unpacks a stream. It keeps no more than a reference can reach and what has not been taken.
type lzf struct {
	in    *input
	src   *feed
	left  int64 // packed bytes to come
	room  int64 // bytes to come out
	buf   []byte
	taken int // of buf
}

// fault is one in the packed data.
func (z *lzf) fault(format string, args ...any) error {
	return z.in.fault(byteAt(z.src.offset), "copy the file again, or save the scan uncompressed", "the compressed data %s", fmt.Sprintf(format, args...))
}

// fork goes on from the same place on a way of its own.
func (z *lzf) fork(ctx context.Context) (*lzf, error) {
	src, err := z.in.stream(ctx, z.src.offset, nil)
	if err != nil {
		return nil, err
	}
	twin := *z
	twin.src = newFeed(src, z.src.offset)
	twin.buf = append([]byte(nil), z.buf...)
	return &twin, nil
}

// look returns at least n bytes, at most [chunkBytes], that were not yet taken.
func (z *lzf) look(n int) ([]byte, error) {
	for len(z.buf)-z.taken < n {
		if past := z.taken - lzfReach; past > len(z.buf)/2 {
			z.buf = z.buf[:copy(z.buf, z.buf[past:])]
			z.taken = lzfReach
		}
		if err := z.step(); err != nil {
			return nil, err
		}
	}
	return z.buf[z.taken:], nil
}

// skip passes over n bytes.
func (z *lzf) skip(n int64) error {
	for n > 0 {
		b, err := z.look(1)
		if err != nil {
			return err
		}
		m := int(min(n, int64(len(b))))
		z.taken += m
		n -= int64(m)
	}
	return nil
}

// finish unpacks to the end and looks whether it is where it should be.
func (z *lzf) finish() error {
	if err := z.skip(z.room + int64(len(z.buf)-z.taken)); err != nil {
		return err
	}
	if z.left > 0 {
		return z.fault("go on for %d bytes behind the last value", z.left)
	}
	return nil
}

// step unpacks one literal or reference.
func (z *lzf) step() error {
	b, err := z.src.look(1 + 32)
	if err != nil {
		return err
	}
	if int64(len(b)) > z.left {
		b = b[:z.left]
	}
	if len(b) == 0 {
		return z.fault("end %d bytes before the last value", z.room)
	}
	c := int(b[0])
	used, size := 3, 7+2
	if c < 32 {
		used, size = c+2, c+1
	} else if c < 7<<5 {
		used, size = 2, c>>5+2
	}
	if used > len(b) {
		return z.fault("end inside a literal or a reference")
	}
	if c >= 7<<5 {
		size += int(b[1])
	}
	if int64(size) > z.room {
		return z.fault("give more bytes than the header states")
	}
	if c < 32 {
		z.buf = append(z.buf, b[1:used]...)
	} else {
		distance := c&31<<8 + int(b[used-1]) + 1
		from := len(z.buf) - distance
		if from < 0 {
			return z.fault("refer to what is before their start")
		}
		for i := range size {
			z.buf = append(z.buf, z.buf[from+i])
		}
	}
	z.src.take(used)
	z.left -= int64(used)
	z.room -= int64(size)
	return nil
}
