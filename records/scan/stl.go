package scan

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
)

const (
	stlHeader = 84 // bytes before the facets of a binary file: a text of 80 and the number of facets
	stlFacet  = 50 // bytes of a facet: normal, three corners, and a number of two bytes that has no meaning here
)

// looksSTL tells whether a file is STL by its size, or by its first words.
func looksSTL(in *input, start []byte) bool {
	if n, known := stlBinaryBytes(start); known && n == in.size {
		return true
	}
	if !stlWords(start) {
		return false
	}
	words := bytes.ToLower(start)
	return bytes.Contains(words, []byte("facet")) || bytes.Contains(words, []byte("endsolid"))
}

// stlBinaryBytes returns how long a binary file is to be by the number of facets it states.
func stlBinaryBytes(start []byte) (n int64, known bool) {
	if len(start) < stlHeader {
		return 0, false
	}
	return stlHeader + stlFacet*int64(binary.LittleEndian.Uint32(start[80:])), true
}

// stlWords tells whether a file begins as text in STL does. A binary one may begin with the same word, but goes on with
// bytes that no text has: the upper ones of its number of facets.
func stlWords(start []byte) bool {
	text := bytes.TrimLeft(bytes.TrimPrefix(start, []byte(byteOrderMark)), " \t\r\n")
	return len(text) >= 5 && bytes.EqualFold(text[:5], []byte("solid")) && bytes.IndexByte(text, 0) < 0
}

// openSTL reads STL (the format of stereolithography machines of 1988, from memory), text or binary. Its unit is nowhere
// said, and its vertices stand there once for each facet around them.
func openSTL(in *input) (Head, blockReader, error) {
	start, err := in.start()
	if err != nil {
		return Head{}, nil, err
	}
	announced, known := stlBinaryBytes(start)
	if stlWords(start) {
		return Head{Format: "STL, ASCII", Declared: -1, Mesh: true}, newMesh(in, readSTLText), nil
	}
	if !known {
		return Head{}, nil, in.fault(byteAt(int64(len(start))), "write the scan again", "the file has %d bytes, but a binary STL file has %d before its facets, and one in text begins with solid", len(start), stlHeader)
	}
	facets := (announced - stlHeader) / stlFacet
	if in.size >= 0 {
		if there := (in.size - stlHeader) / stlFacet; there < facets {
			return Head{}, nil, stlShort(in, facets, there, in.size)
		}
		if _, err := stlLeftOver(in, facets, in.size-announced); err != nil {
			return Head{}, nil, err
		}
	}
	if facets == 0 {
		return Head{}, nil, in.empty("facet")
	}
	return Head{Format: "STL, binary", Declared: -1, Mesh: true, Single: true}, newMesh(in, readSTLBinary), nil
}

func stlShort(in *input, facets, there, end int64) error {
	return in.fault(byteAt(end), "the file is cut, or its count is wrong", "%s announced, data for %d", counted(facets, "facet"), there)
}

// stlLeftOver judges n bytes behind the last facet. Whole facets contradict the count; some programs append other things.
func stlLeftOver(in *input, facets, n int64) (warnings []string, err error) {
	switch {
	case n == 0:
		return nil, nil
	case n%stlFacet == 0:
		return nil, in.fault(byteAt(stlHeader+stlFacet*facets), "the count is wrong: write the scan again", "%s announced, data for %d", counted(facets, "facet"), facets+n/stlFacet)
	}
	return []string{counted(n, "byte") + " behind the last facet announced were not read."}, nil
}

// readSTLBinary reads all facets of a binary file.
func readSTLBinary(ctx context.Context, in *input, m *meter, out *facets) error {
	src, err := in.stream(ctx, 0, m)
	if err != nil {
		return err
	}
	f := newFeed(src, 0)
	b, err := f.look(stlHeader)
	if err != nil {
		return err
	}
	if len(b) < stlHeader {
		return in.shrunk(int64(len(b)))
	}
	count := int64(binary.LittleEndian.Uint32(b[80:]))
	f.take(stlHeader)
	for facet := int64(0); facet < count; {
		if b, err = f.look(stlFacet); err != nil {
			return err
		}
		if len(b) < stlFacet {
			return stlShort(in, count, facet, f.offset+int64(len(b)))
		}
		for ; len(b) >= stlFacet && facet < count; facet++ {
			var corners [3][3]float64
			for i := range corners {
				for axis := range corners[i] {
					corners[i][axis] = float64(math.Float32frombits(binary.LittleEndian.Uint32(b[12+12*i+4*axis:])))
				}
			}
			if err := out.add(&corners); err != nil {
				return err
			}
			b = b[stlFacet:]
			f.take(stlFacet)
		}
	}
	left, err := f.rest()
	if err != nil {
		return err
	}
	out.step = singleStep
	out.warnings, err = stlLeftOver(in, count, left)
	return err
}
