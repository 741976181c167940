package scan

import (
	"encoding/binary"
	"math"
)

// bitQueue holds what has come of a stream and is not yet decoded: values of constant width, the least significant bit
// first, across the ends of packets.
type bitQueue struct {
	coding e57Coding
	buf    []byte
	bit    int // of buf's first bytes, decoded
}

// add takes the next bytes of the stream.
func (q *bitQueue) add(b []byte) {
	if done := q.bit / 8; 2*done >= len(q.buf) {
		q.buf = q.buf[:copy(q.buf, q.buf[done:])]
		q.bit -= 8 * done
	}
	q.buf = append(q.buf, b...)
}

// ready returns how many values have come whole, at most limit.
func (q *bitQueue) ready(limit int) int {
	if q.coding.width == 0 {
		return limit
	}
	return min(limit, (8*len(q.buf)-q.bit)/q.coding.width)
}

// spent tells whether nothing is left but zeros that fill up the last integer; floating point numbers end with a byte.
func (q *bitQueue) spent() bool {
	for at := q.bit; at < 8*len(q.buf); at += 8 - at%8 {
		if q.coding.float || q.buf[at/8]>>(at%8) != 0 {
			return false
		}
	}
	return true
}

// decode takes len(dst) values, which are ready, off the queue. It returns the index of the first that is above the stated
// maximum, or -1.
func (q *bitQueue) decode(dst []float64) (beyond int) {
	width := q.coding.width
	defer func() { q.bit += width * len(dst) }()
	switch {
	case q.coding.float && width == 32:
		b := q.buf[q.bit/8:]
		for i := range dst {
			dst[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:])))
		}
	case q.coding.float:
		b := q.buf[q.bit/8:]
		for i := range dst {
			dst[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
		}
	default:
		return q.decodeIntegers(dst)
	}
	return -1
}

func (q *bitQueue) decodeIntegers(dst []float64) (beyond int) {
	c := &q.coding
	beyond = -1
	for i := range dst {
		stored := lowBits(q.buf, q.bit+i*c.width, c.width)
		if stored > c.span && beyond < 0 {
			beyond = i
		}
		whole := int64(uint64(c.minimum) + stored)
		dst[i] = float64(float64(whole)*c.scale) + c.offset
	}
	return beyond
}

// lowBits returns width bits, at most 64, from a bit of b on.
func lowBits(b []byte, bit, width int) uint64 {
	b = b[bit/8:]
	shift := uint(bit % 8)
	mask := uint64(1)<<width - 1 // all ones for 64
	if len(b) < 9 {
		var whole [8]byte
		copy(whole[:], b)
		return binary.LittleEndian.Uint64(whole[:]) >> shift & mask
	}
	return (binary.LittleEndian.Uint64(b)>>shift | uint64(b[8])<<(64-shift)) & mask
}
