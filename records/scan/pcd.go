package scan

import (
	"bytes"
	"context"
	"fmt"
)

// looksPCD tells whether the first line that is no comment is a key of the header, or a comment says so.
func looksPCD(start []byte) bool {
	if bytes.HasPrefix(start, []byte("# .PCD")) {
		return true
	}
	for line := range bytes.Lines(start) {
		if word, _ := field(line, 0); len(word) > 0 && word[0] != '#' {
			return string(word) == "VERSION" || string(word) == "FIELDS"
		}
	}
	return false
}

// openPCD reads the header of a PCD file, version 0.6 or 0.7 (Point Cloud Library, "The PCD (Point Cloud Data) file
// format"). Numbers are little-endian. The viewpoint is where the sensor stood, in the frame the points already are in;
// they are not moved by it.
func openPCD(in *input) (Head, blockReader, error) {
	h, err := readPCDHeader(in)
	if err != nil {
		return Head{}, nil, err
	}
	head := Head{Format: "PCD, " + h.data, Declared: h.points}
	l, columns := h.coordinates()
	if h.data == "ascii" {
		return head, h.text(columns), nil
	}
	head.Single = l.single()
	if h.data == "binary_compressed" {
		head.Format = "PCD, compressed binary"
		c, err := h.compressed(l)
		if err != nil {
			return Head{}, nil, err
		}
		return head, &sequential{in: in, decode: c.decode}, nil
	}
	if in.packed {
		return head, &sequential{in: in, decode: h.decodeBinary}, nil
	}
	left := in.size - h.start.byte
	if there := left / int64(l.stride); there < h.points {
		return Head{}, nil, h.short(there)
	}
	warnings, err := h.leftOverFrom(h.start.byte+h.points*int64(l.stride), l.stride)
	if err != nil {
		return Head{}, nil, err
	}
	return head, &pcdBlocks{h, warnings}, nil
}

// pcdBlocks reads the records of a binary file by offset.
type pcdBlocks struct {
	*pcdHeader
	warnings []string
}

func (p *pcdBlocks) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	l, _ := p.coordinates()
	s := fixedStride{in: p.in, noun: "point", start: p.start.byte, count: p.points, layout: l}
	f, err := s.find(ctx, how, how.meter(p.in), visit)
	if err != nil {
		return Tally{}, err
	}
	return p.tally(&f, l.step(f.peak), p.warnings...)
}

// tally adds what the header has to say.
func (h *pcdHeader) tally(f *finds, step float64, warnings ...string) (Tally, error) {
	if h.viewpoint != [7]float64{3: 1} {
		v := h.viewpoint
		warnings = append(warnings, fmt.Sprintf("The viewpoint that the file states, %g %g %g turned by %g %g %g %g, was not applied: the points are in its frame already.",
			v[0], v[1], v[2], v[3], v[4], v[5], v[6]))
	}
	t, err := f.tally(h.in, "point", warnings...)
	t.Step = step
	return t, err
}

// decodeBinary walks over a binary file that gzip has packed.
func (h *pcdHeader) decodeBinary(ctx context.Context, m *meter, out *filler) (Tally, error) {
	src, err := h.in.stream(ctx, h.start.byte, m)
	if err != nil {
		return Tally{}, err
	}
	l, _ := h.coordinates()
	out.checkFirst = func(xyz []float64) error { return h.in.checkOrder(xyz, &l, h.start.byte) }
	data := newFeed(src, h.start.byte)
	var xyz [3]float64
	for out.records < h.points {
		raw, err := data.look(l.stride)
		if err != nil {
			return Tally{}, err
		}
		if len(raw) < l.stride {
			return Tally{}, h.short(out.records)
		}
		for ; len(raw) >= l.stride && out.records < h.points; raw = raw[l.stride:] {
			l.decode(xyz[:], raw[:l.stride])
			if err := out.point(xyz[0], xyz[1], xyz[2]); err != nil {
				return Tally{}, err
			}
			data.take(l.stride)
		}
	}
	warnings, err := h.leftOver(data, l.stride)
	if err != nil {
		return Tally{}, err
	}
	if err := out.flush(); err != nil {
		return Tally{}, err
	}
	return h.tally(&out.finds, l.step(out.peak), warnings...)
}

// short tells of fewer records than announced.
func (h *pcdHeader) short(there int64) error {
	return h.in.fault(byteAt(h.in.size), "the file is cut, or its header states a wrong count", "%s announced, data for %d", counted(h.points, "point"), there)
}

// maxPCDPadding is how many zeros may follow the data: the library that the format comes from fills files up by a page of
// memory, which has 64 KiB on some machines.
const maxPCDPadding = 1 << 16

// leftOver judges what a stream still has behind the data. Other than zeros, a record's worth contradicts the header, and
// less may be a line end.
func (h *pcdHeader) leftOver(src *feed, stride int) (warnings []string, err error) {
	n, zeros := int64(0), true
	for {
		b, err := src.look(1)
		if err != nil {
			return nil, err
		}
		if len(b) == 0 {
			break
		}
		zeros = zeros && len(bytes.Trim(b, "\x00")) == 0
		n += int64(len(b))
		src.take(len(b))
	}
	switch {
	case n == 0 || zeros && n <= maxPCDPadding:
		return nil, nil
	case n < int64(stride):
		return []string{counted(n, "byte") + " behind the last point belong to nothing the header describes and were not read."}, nil
	}
	return nil, h.tooLong(n)
}

// leftOverFrom is leftOver for a file that can be read by offset.
func (h *pcdHeader) leftOverFrom(offset int64, stride int) (warnings []string, err error) {
	if n := h.in.size - offset; n > maxPCDPadding {
		return nil, h.tooLong(n)
	}
	src, err := h.in.stream(context.Background(), offset, nil)
	if err != nil {
		return nil, err
	}
	return h.leftOver(newFeed(src, offset), stride)
}

func (h *pcdHeader) tooLong(n int64) error {
	return h.in.fault(h.places["SIZE"], "the header states too few points or wrong types: save the scan again",
		"%s announced, %s left over behind them", counted(h.points, "point"), counted(n, "byte"))
}

// text reads the rows of an ASCII file.
func (h *pcdHeader) text(columns [3]int) blockReader {
	n := 0
	for _, f := range h.fields {
		n += f.count
	}
	return &pcdText{h, textRows{eol: h.lines.eol, columns: n, axis: axesOf(columns), example: "the header describes " + counted(int64(n), "value")}}
}

type pcdText struct {
	*pcdHeader
	rows textRows
}

func (p *pcdText) read(ctx context.Context, how Reading, visit func(b *Block) error) (Tally, error) {
	found, err := p.rows.pass(ctx, p.in, how, p.start, p.rows.parser, visit)
	if err != nil {
		return Tally{}, err
	}
	if found.records != p.points {
		return Tally{}, p.in.fault(p.places["POINTS"], "the file is cut, or its header states a wrong count",
			"%s announced, rows for %d", counted(p.points, "point"), found.records)
	}
	var warnings []string
	if found.unfinished {
		warnings = append(warnings, unfinishedLine)
	}
	return p.tally(&found.finds, found.digits.step(), warnings...)
}
