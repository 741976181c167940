package scan

import (
	"bytes"
	"errors"
	"io"
)

// sniffed is how much of the content decides about its format.
const sniffed = 4096

func open(file io.ReaderAt, size int64, o Options) (*Cloud, error) {
	in := newInput(file, size, o.Name)
	start, err := in.start()
	if err == nil && bytes.HasPrefix(start, []byte("\x1f\x8b")) {
		in = in.unpacking()
		start, err = in.start()
	}
	if err != nil {
		return nil, err
	}
	head, blocks, err := openFormat(in, start)
	if err != nil {
		return nil, err
	}
	head.Compressed = in.packed
	return &Cloud{Head: head, blocks: blocks}, nil
}

// start returns the first bytes of the content, at most [sniffed].
func (in *input) start() ([]byte, error) {
	n := sniffed
	if in.size >= 0 {
		n = int(min(in.size, sniffed))
	}
	b := make([]byte, n)
	n, err := in.at.ReadAt(b, 0)
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return nil, err
	case n == 0:
		return nil, in.fault(byteAt(0), "", "the file is empty")
	}
	return b[:n], nil
}

// openFormat asks the content for its format, and the name only where the content does not say.
func openFormat(in *input, start []byte) (Head, blockReader, error) {
	text := bytes.TrimPrefix(start, []byte(byteOrderMark))
	switch {
	case looksPLY(text):
		return openPLY(in)
	case looksE57(start):
		return openE57(in)
	case looksPCD(text):
		return openPCD(in)
	case looksSTL(in, start):
		return openSTL(in)
	}
	if err := in.foreign(start); err != nil {
		return Head{}, nil, err
	}
	switch in.suffix {
	case ".ply":
		return Head{}, nil, in.unmarked("PLY", `with a line "ply"`)
	case ".pcd":
		return Head{}, nil, in.unmarked("PCD", "with the header of a PCD file")
	case ".e57":
		return Head{}, nil, in.unmarked("E57", "with ASTM-E57")
	case ".stl":
		return openSTL(in)
	case ".obj":
		return openOBJ(in)
	}
	if bytes.IndexByte(start, 0) >= 0 {
		return Head{}, nil, in.fault(byteAt(int64(bytes.IndexByte(start, 0))), "save the scan in one of them",
			"these are binary data, but not of a format that is read here (PLY, STL, PCD, OBJ, E57, or text with x, y and z)")
	}
	if looksOBJ(text) {
		return openOBJ(in)
	}
	return openText(in)
}

// unmarked tells of a file whose name promises a mark that it does not begin with.
func (in *input) unmarked(format, mark string) error {
	return in.fault(byteAt(0), "give it the suffix of the format it is in", "the name says %s, but the file does not begin %s", format, mark)
}
