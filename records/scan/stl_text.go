package scan

import (
	"bytes"
	"context"
	"errors"
	"io"
)

// stlText is where in a text file the reader is.
type stlText struct {
	*lines
	out     *facets
	digits  digits
	expects string // the keyword, or several, that may begin the next line
	corners [3][3]float64
	corner  int
}

const (
	stlSolid  = "solid"
	stlInside = "facet or endsolid"
	stlLoop   = "outer loop"
	stlVertex = "vertex"
	stlLooped = "endloop"
	stlClosed = "endfacet"
)

// readSTLText reads all facets of a text file, of all its solids.
func readSTLText(ctx context.Context, in *input, m *meter, out *facets) error {
	src, err := in.stream(ctx, 0, m)
	if err != nil {
		return err
	}
	t := &stlText{lines: in.lines(src, 0, 0), out: out, expects: stlSolid}
	for {
		line, err := t.read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		word, at := field(line, 0)
		if len(word) == 0 {
			continue
		}
		if err := t.statement(word, line[at:]); err != nil {
			return err
		}
	}
	if t.expects != stlSolid || t.line == 0 {
		return in.fault(lineAt(t.next, t.line+1), "the file is cut: write the scan again", "the file ends inside a solid, behind %s, where %s should follow", counted(out.facets, "whole facet"), t.expects)
	}
	out.step = func(float64) float64 { return t.digits.step() }
	return nil
}

// statement takes in one line; rest is what follows its first word.
func (t *stlText) statement(word, rest []byte) error {
	is := func(keyword string) bool { return bytes.EqualFold(word, []byte(keyword)) }
	switch {
	case t.expects == stlVertex && is("vertex"):
		return t.vertex(rest)
	case t.expects == stlSolid && is("solid"):
		t.expects = stlInside
	case t.expects == stlInside && is("facet"):
		t.expects = stlLoop
	case t.expects == stlInside && is("endsolid"):
		t.expects = stlSolid
	case t.expects == stlLoop && is("outer"):
		t.expects = stlVertex
		t.corner = 0
	case t.expects == stlLooped && is("endloop"):
		t.expects = stlClosed
	case t.expects == stlClosed && is("endfacet"):
		t.expects = stlInside
		return t.out.add(&t.corners)
	default:
		return t.fault("facets have three corners, and each keyword a line of its own", "the line begins with %.40q where %s should stand", word, t.expects)
	}
	return nil
}

// vertex takes in a corner of a facet.
func (t *stlText) vertex(rest []byte) error {
	var words [3][]byte
	if n := readFields(rest, words[:]); n != len(words) {
		return t.fault("a vertex is written vertex X Y Z", "the vertex has %s", counted(int64(n), "value"))
	}
	for axis, word := range words {
		v, err := t.number(word, &t.digits)
		if err != nil {
			return err
		}
		t.corners[t.corner][axis] = v
	}
	t.corner++
	if t.corner == len(t.corners) {
		t.expects = stlLooped
	}
	return nil
}
