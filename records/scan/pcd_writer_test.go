package scan_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
)

// pcdDraft writes PCD files for tests.
type pcdDraft struct {
	fields []pcdDraftField
	width  int
	height int
	data   string

	pack func(raw []byte) []byte // compresses
}

// pcdDraftField is a field with its values, count for each point one after the other.
type pcdDraftField struct {
	name   string
	size   int
	kind   byte
	count  int
	values []float64
}

func (d *pcdDraft) points() int { return d.width * d.height }

func (d *pcdDraft) header() string {
	var names, sizes, kinds, counts strings.Builder
	for _, f := range d.fields {
		fmt.Fprintf(&names, " %s", f.name)
		fmt.Fprintf(&sizes, " %d", f.size)
		fmt.Fprintf(&kinds, " %c", f.kind)
		fmt.Fprintf(&counts, " %d", f.count)
	}
	return fmt.Sprintf("# .PCD v0.7 - Point Cloud Data file format\nVERSION 0.7\nFIELDS%s\nSIZE%s\nTYPE%s\nCOUNT%s\nWIDTH %d\nHEIGHT %d\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS %d\nDATA %s\n",
		names.String(), sizes.String(), kinds.String(), counts.String(), d.width, d.height, d.points(), d.data)
}

func (d *pcdDraft) bytes() []byte {
	b := []byte(d.header())
	switch d.data {
	case "ascii":
		for i := range d.points() {
			for _, f := range d.fields {
				for _, v := range f.of(i) {
					b = fmt.Appendf(b, "%g ", v)
				}
			}
			b[len(b)-1] = '\n'
		}
	case "binary":
		for i := range d.points() {
			for _, f := range d.fields {
				for _, v := range f.of(i) {
					b = f.append(b, v)
				}
			}
		}
	default:
		var raw []byte
		for _, f := range d.fields {
			for _, v := range f.values {
				raw = f.append(raw, v)
			}
		}
		packed := d.pack(raw)
		b = binary.LittleEndian.AppendUint32(b, uint32(len(packed)))
		b = binary.LittleEndian.AppendUint32(b, uint32(len(raw)))
		b = append(b, packed...)
	}
	return b
}

func (f *pcdDraftField) of(point int) []float64 { return f.values[point*f.count : (point+1)*f.count] }

func (f *pcdDraftField) append(b []byte, v float64) []byte {
	switch {
	case f.kind == 'F' && f.size == 4:
		return binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(v)))
	case f.kind == 'F':
		return binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
	}
	whole := uint64(int64(v))
	if f.kind == 'U' {
		whole = uint64(v)
	}
	for range f.size {
		b = append(b, byte(whole))
		whole >>= 8
	}
	return b
}

// literals packs bytes by literals alone.
func literals(raw []byte) (packed []byte) {
	for len(raw) > 0 {
		n := min(32, len(raw))
		packed = append(append(packed, byte(n-1)), raw[:n]...)
		raw = raw[n:]
	}
	return packed
}

// reference appends one that copies length bytes, 3 to 264, from distance bytes back.
func reference(packed []byte, length, distance int) []byte {
	length -= 2
	distance--
	if length < 7 {
		return append(packed, byte(length<<5|distance>>8), byte(distance))
	}
	return append(packed, byte(7<<5|distance>>8), byte(length-7), byte(distance))
}
