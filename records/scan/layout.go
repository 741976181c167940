package scan

import (
	"encoding/binary"
	"math"
)

// layout is where the coordinates stand in records of constant length.
type layout struct {
	stride int // bytes of a record
	big    bool
	xyz    [3]column
}

// column is a number in each record.
type column struct {
	offset int // in the record
	kind   kind
}

// of reads the number from a record.
func (c column) of(record []byte, big bool) float64 { return c.kind.number(record[c.offset:], big) }

// single tells whether the coordinates are numbers of 32 bits.
func (l *layout) single() bool {
	return l.xyz[0].kind == float32Kind && l.xyz[1].kind == float32Kind && l.xyz[2].kind == float32Kind
}

// step is the spacing of the coordinates' numbers at a magnitude, for [Tally.Step].
func (l *layout) step(peak float64) float64 {
	step := 0.0
	for _, c := range l.xyz {
		switch {
		case c.kind.whole():
			step = max(step, 1)
		case c.kind == float32Kind:
			step = max(step, singleStep(peak))
		}
	}
	return step
}

// adjoining tells whether y and z follow x as numbers of its type.
func (l *layout) adjoining(k kind) bool {
	for i, c := range l.xyz {
		if c.kind != k || c.offset != l.xyz[0].offset+i*k.size() {
			return false
		}
	}
	return true
}

// decode reads the coordinates of the records in raw, which holds whole ones, into dst, and returns whether all are
// finite and the largest magnitude if they are.
func (l *layout) decode(dst []float64, raw []byte) (finite bool, peak float64) {
	switch {
	case !l.big && l.adjoining(float32Kind):
		return decodeSingles(dst, raw, l.stride, l.xyz[0].offset)
	case !l.big && l.adjoining(float64Kind):
		decodeDoubles(dst, raw, l.stride, l.xyz[0].offset)
	default:
		for axis := range l.xyz {
			l.decodeColumn(dst, raw, axis)
		}
	}
	most := uint64(0)
	for _, v := range dst {
		most = max(most, math.Float64bits(v)<<1)
	}
	peak = math.Float64frombits(most >> 1)
	return peak <= math.MaxFloat64, peak
}

// decodeSingles is decode for the common case. Without their sign the bits of floating point numbers are in the order of
// the magnitudes, with infinity and NaN above all others.
func decodeSingles(dst []float64, raw []byte, stride, offset int) (finite bool, peak float64) {
	var most [3]uint32 // one for each axis, as one for all would have to wait for itself
	for i, at := 0, offset; i+3 <= len(dst) && at+12 <= len(raw); i, at = i+3, at+stride {
		d, r := dst[i:i+3], raw[at:at+12]
		x := binary.LittleEndian.Uint32(r)
		y := binary.LittleEndian.Uint32(r[4:])
		z := binary.LittleEndian.Uint32(r[8:])
		d[0] = float64(math.Float32frombits(x))
		d[1] = float64(math.Float32frombits(y))
		d[2] = float64(math.Float32frombits(z))
		most[0] = max(most[0], x<<1)
		most[1] = max(most[1], y<<1)
		most[2] = max(most[2], z<<1)
	}
	peak = float64(math.Float32frombits(max(most[0], most[1], most[2]) >> 1))
	return peak <= math.MaxFloat32, peak
}

func decodeDoubles(dst []float64, raw []byte, stride, offset int) {
	for i, at := 0, offset; i+3 <= len(dst) && at+24 <= len(raw); i, at = i+3, at+stride {
		d, r := dst[i:i+3], raw[at:at+24]
		d[0] = math.Float64frombits(binary.LittleEndian.Uint64(r))
		d[1] = math.Float64frombits(binary.LittleEndian.Uint64(r[8:]))
		d[2] = math.Float64frombits(binary.LittleEndian.Uint64(r[16:]))
	}
}

// decodeColumn reads one coordinate of all records, of any type and byte order.
func (l *layout) decodeColumn(dst []float64, raw []byte, axis int) {
	c := l.xyz[axis]
	raw = raw[c.offset:]
	for i, at := axis, 0; i < len(dst); i, at = i+3, at+l.stride {
		switch r := raw[at:]; {
		case c.kind == float32Kind && l.big:
			dst[i] = float64(math.Float32frombits(binary.BigEndian.Uint32(r)))
		case c.kind == float32Kind:
			dst[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(r)))
		default:
			dst[i] = c.kind.number(r, l.big)
		}
	}
}

// dropNonFinite takes the points with a coordinate that is not finite out of xyz, whose first point is a given record of
// the file, and notes them with the largest magnitude of the others.
func (f *finds) dropNonFinite(xyz []float64, record int64) []float64 {
	kept := xyz[:0]
	for ; len(xyz) >= 3; xyz = xyz[3:] {
		peak := max(math.Abs(xyz[0]), math.Abs(xyz[1]), math.Abs(xyz[2])) // NaN if one is
		if peak <= math.MaxFloat64 {
			f.peak = max(f.peak, peak)
			kept = append(kept, xyz[0], xyz[1], xyz[2])
		} else {
			f.noteNonFinite(record)
		}
		record++
	}
	return kept
}
