package scan

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
)

// looksOBJ tells whether the first line with words that is no comment begins as statements of OBJ do.
func looksOBJ(start []byte) bool {
	for line := range bytes.Lines(start) {
		word, at := field(line, 0)
		if len(word) == 0 || word[0] == '#' {
			continue
		}
		after, _ := field(line, at)
		switch string(word) {
		case "v", "vn", "vt", "vp", "f", "l", "p", "o", "g", "s", "mtllib", "usemtl":
			return len(after) > 0
		}
		return false
	}
	return false
}

// openOBJ reads the vertices of OBJ (Wavefront Technologies, Advanced Visualizer manual, appendix B1, from memory):
// statements of a line each, of which those for vertices and facets count.
func openOBJ(in *input) (Head, blockReader, error) {
	o := &obj{in: in}
	return Head{Format: "OBJ", Declared: -1, Mesh: true}, &sequential{in: in, decode: o.decode}, nil
}

type obj struct{ in *input }

// decode reads all statements.
func (o *obj) decode(ctx context.Context, m *meter, out *filler) (Tally, error) {
	src, err := o.in.stream(ctx, 0, m)
	if err != nil {
		return Tally{}, err
	}
	t := &objText{lines: o.in.lines(src, 0, 0)}
	for {
		line, err := t.statement()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return Tally{}, err
		}
		word, at := field(line, 0)
		switch string(word) {
		case "v":
			if err := t.vertex(line[at:], out); err != nil {
				return Tally{}, err
			}
		case "f", "fo":
			out.facets++
		}
	}
	var warnings []string
	if t.unfinished {
		warnings = append(warnings, unfinishedLine)
	}
	if t.weighted > 0 {
		warnings = append(warnings, fmt.Sprintf("%s with a fourth coordinate other than 1, which was not applied.", counted(t.weighted, "vertex")))
	}
	tally, err := out.tally(o.in, "vertex", warnings...)
	tally.Step = t.digits.step()
	return tally, err
}

// objText reads statements.
type objText struct {
	*lines
	digits   digits
	joined   []byte // a statement of several lines
	weighted int64  // vertices with a fourth coordinate, a weight for rational curves, that alters something
}

// statement returns the next line, and those it is continued in by a backslash at its end.
func (t *objText) statement() ([]byte, error) {
	line, err := t.read()
	if err != nil || len(line) == 0 || line[len(line)-1] != '\\' {
		return line, err
	}
	t.joined = t.joined[:0]
	for {
		continued := len(line) > 0 && line[len(line)-1] == '\\'
		if continued {
			line = line[:len(line)-1]
		}
		t.joined = append(append(t.joined, line...), ' ')
		if len(t.joined) > maxLine {
			return nil, t.fault("is this the file you meant?", "the statement continued here is longer than %d bytes", maxLine)
		}
		if !continued {
			return t.joined, nil
		}
		if line, err = t.read(); errors.Is(err, io.EOF) {
			return nil, t.fault("the file is cut", "the line is to be continued, but is the last")
		} else if err != nil {
			return nil, err
		}
	}
}

// vertex reads x, y and z, behind which a weight or a colour may stand.
func (t *objText) vertex(rest []byte, out *filler) error {
	var words [7][]byte
	n := readFields(rest, words[:])
	for i := range min(n, len(words)) {
		if words[i][0] == '#' {
			n = i
			break
		}
	}
	if n < 3 || n > len(words) {
		return t.fault("a vertex is written v X Y Z, with a weight or a colour behind", "the vertex has %s", counted(int64(n), "value"))
	}
	var xyz [3]float64
	var err error
	for i := range xyz {
		if xyz[i], err = t.number(words[i], &t.digits); err != nil {
			return err
		}
	}
	if n == 4 {
		if w, ok := parseFloat(words[3]); !ok || w != 1 {
			t.weighted++
		}
	}
	return out.point(xyz[0], xyz[1], xyz[2])
}
