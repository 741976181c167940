package scan

import (
	"context"
	"encoding/binary"
	"math"
	"slices"
)

// pcdCompressed is compressed binary data: all values of one field after those of another.
type pcdCompressed struct {
	*pcdHeader
	columns  [3]pcdColumn // of x, y and z
	offset   int64        // of the packed bytes
	packed   int64        // how many they are
	unpacked int64
	step     func(peak float64) float64
	warnings []string
}

// pcdColumn is all values of a coordinate.
type pcdColumn struct {
	axis   int
	kind   kind
	offset int64 // in the unpacked data
}

// compressed reads the two sizes that begin the data and compares them with the header and the file.
func (h *pcdHeader) compressed(l layout) (*pcdCompressed, error) {
	in, at := h.in, byteAt(h.start.byte)
	var b [8]byte
	if in.size >= 0 && in.size-h.start.byte < int64(len(b)) {
		return nil, in.fault(byteAt(in.size), "copy the file again", "the file ends before its compressed data")
	}
	if err := in.readAt(b[:], h.start.byte); err != nil {
		return nil, err
	}
	c := &pcdCompressed{
		pcdHeader: h, offset: h.start.byte + int64(len(b)), step: l.step,
		packed: int64(binary.LittleEndian.Uint32(b[:])), unpacked: int64(binary.LittleEndian.Uint32(b[4:])),
	}
	if over := h.points > math.MaxUint32; over || c.unpacked != h.points*int64(l.stride) {
		return nil, in.fault(at, "save the scan again", "%s of %d bytes announced, but %s of uncompressed data",
			counted(h.points, "point"), l.stride, counted(c.unpacked, "byte"))
	}
	if c.unpacked > lzfRatio*c.packed {
		return nil, in.fault(at, "save the scan again", "%s of data cannot be compressed to %d", counted(c.unpacked, "byte"), c.packed)
	}
	if left := in.size - c.offset; in.size >= 0 && left < c.packed {
		return nil, in.fault(byteAt(in.size), "the file is cut: copy it again", "%s of compressed data announced, %d follow", counted(c.packed, "byte"), left)
	} else if in.size >= 0 {
		var err error
		if c.warnings, err = h.leftOverFrom(c.offset+c.packed, l.stride); err != nil {
			return nil, err
		}
	}
	for axis := range c.columns {
		at := l.xyz[axis]
		c.columns[axis] = pcdColumn{axis, at.kind, int64(at.offset) * h.points}
	}
	slices.SortFunc(c.columns[:], func(a, b pcdColumn) int { return int(min(max(a.offset-b.offset, -1), 1)) })
	return c, nil
}

// decode unpacks the data on three ways at a time, one for each coordinate, so that nothing has to be kept.
func (c *pcdCompressed) decode(ctx context.Context, m *meter, out *filler) (Tally, error) {
	src, err := c.in.stream(ctx, c.offset, m)
	if err != nil {
		return Tally{}, err
	}
	last := &lzf{in: c.in, src: newFeed(src, c.offset), left: c.packed, room: c.unpacked}
	var ways [3]*lzf
	done := int64(0)
	for i, column := range c.columns {
		if err := last.skip(column.offset - done); err != nil {
			return Tally{}, err
		}
		done = column.offset
		if ways[i] = last; i < 2 {
			if ways[i], err = last.fork(ctx); err != nil {
				return Tally{}, err
			}
		}
	}
	const run = 2048
	var xyz [3][run]float64
	for out.records < c.points {
		n := int(min(run, c.points-out.records))
		for i, column := range c.columns {
			if err := column.decode(xyz[column.axis][:n], ways[i]); err != nil {
				return Tally{}, err
			}
		}
		for i := range n {
			if err := out.point(xyz[0][i], xyz[1][i], xyz[2][i]); err != nil {
				return Tally{}, err
			}
		}
	}
	if err := last.finish(); err != nil {
		return Tally{}, err
	}
	warnings := c.warnings
	if c.in.packed {
		if warnings, err = c.leftOver(last.src, c.stride()); err != nil {
			return Tally{}, err
		}
	}
	if err := out.flush(); err != nil {
		return Tally{}, err
	}
	return c.tally(&out.finds, c.step(out.peak), warnings...)
}

// decode unpacks the next values of a column.
func (c *pcdColumn) decode(dst []float64, z *lzf) error {
	size := c.kind.size()
	b, err := z.look(size * len(dst))
	if err != nil {
		return err
	}
	for i := range dst {
		dst[i] = c.kind.number(b[i*size:], false)
	}
	z.taken += size * len(dst)
	return nil
}
