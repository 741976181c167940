package scan

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"strconv"
	"strings"
)

// maxHeader is the longest header that is read, in bytes: room for some ten thousand properties.
const maxHeader = 1 << 20

// plyHeader is what a PLY file says of the data behind its header.
type plyHeader struct {
	in       *input
	form     string // "ASCII", "binary little-endian" or "binary big-endian"; empty before it is stated
	elements []plyElement
	vertex   int   // the element with the points
	data     int64 // offset of the first byte of data
	lines    int64 // of the header
}

func (h *plyHeader) ascii() bool { return h.form == plyASCII }
func (h *plyHeader) big() bool   { return h.form == plyBig }

const (
	plyASCII  = "ASCII"
	plyLittle = "binary little-endian"
	plyBig    = "binary big-endian"
)

// plyElement is a table in the file: count records with the same properties.
type plyElement struct {
	name       string
	count      int64
	properties []plyProperty
	at         place // of its line in the header
}

// plyProperty is a number, or a list of them behind its length, in each record.
type plyProperty struct {
	name   string
	list   bool
	length kind // of the number that says how long the list is
	kind   kind
}

// looksPLY tells whether the first line is the mark of a PLY file.
func looksPLY(start []byte) bool {
	rest, found := bytes.CutPrefix(start, []byte("ply"))
	rest = bytes.TrimLeft(rest, " \t")
	return found && (len(rest) == 0 || rest[0] == '\r' || rest[0] == '\n')
}

// readPLYHeader reads the header up to end_header and the line end behind it.
func readPLYHeader(in *input) (*plyHeader, error) {
	src, err := in.stream(context.Background(), 0, nil)
	if err != nil {
		return nil, err
	}
	r := &plyHeaderReader{in: in, src: bufio.NewReader(src)}
	h := &plyHeader{in: in, vertex: -1}
	for {
		line, err := r.line()
		if err != nil {
			return nil, err
		}
		if line == "end_header" {
			break
		}
		if err := h.statement(strings.Fields(line), r); err != nil {
			return nil, err
		}
	}
	h.data, h.lines = r.next, r.number
	return h, h.complete()
}

// plyHeaderReader cuts the header into lines without reading a byte beyond it.
type plyHeaderReader struct {
	in           *input
	src          *bufio.Reader
	returns      bool // lines end by CR alone
	number       int64
	offset, next int64 // of the line and behind it
}

// line returns the next line without blanks around it. The first decides how all end: by LF, with or without CR before it,
// or by CR alone; a data byte that looks like LF may follow the latter.
func (r *plyHeaderReader) line() (string, error) {
	var line []byte
	r.number++
	r.offset = r.next
	for {
		c, err := r.src.ReadByte()
		if err == io.EOF {
			return "", r.in.fault(lineAt(r.next, r.number), "write the scan again", "the header ends before end_header")
		}
		if err != nil {
			return "", err
		}
		r.next++
		if r.next > maxHeader {
			return "", r.in.fault(lineAt(r.offset, r.number), "is this a PLY file?", "the header goes on for more than %d bytes", maxHeader)
		}
		if c == '\r' && r.number == 1 {
			after, err := r.src.Peek(1)
			r.returns = err == nil && after[0] != '\n'
		}
		if c == '\n' && !r.returns || c == '\r' && r.returns {
			break
		}
		line = append(line, c)
	}
	line = bytes.TrimPrefix(line, []byte(byteOrderMark))
	return strings.TrimSpace(string(line)), nil
}

// statement takes in one line of the header.
func (h *plyHeader) statement(words []string, r *plyHeaderReader) error {
	fault := func(mend, format string, args ...any) error {
		return h.in.fault(lineAt(r.offset, r.number), mend, format, args...)
	}
	if len(words) == 0 {
		return nil
	}
	switch words[0] {
	case "ply":
		if r.number > 1 {
			return fault("", "a second %q in the header", "ply")
		}
	case "comment", "obj_info":
	case "format":
		return h.format(words, fault)
	case "element":
		return h.element(words, lineAt(r.offset, r.number), fault)
	case "property":
		return h.property(words, fault)
	default:
		return fault("a header consists of format, comment, obj_info, element and property lines", "the line begins with %q", words[0])
	}
	return nil
}

type faulter func(mend, format string, args ...any) error

func (h *plyHeader) format(words []string, fault faulter) error {
	if h.form != "" {
		return fault("", "the format is stated twice")
	}
	if len(words) == 3 && words[2] == "1.0" {
		switch words[1] {
		case "ascii":
			h.form = plyASCII
		case "binary_little_endian":
			h.form = plyLittle
		case "binary_big_endian":
			h.form = plyBig
		}
	}
	if h.form == "" {
		return fault("it can be ascii, binary_little_endian or binary_big_endian, each 1.0", "the format is %q", strings.Join(words[1:], " "))
	}
	return nil
}

func (h *plyHeader) element(words []string, at place, fault faulter) error {
	const form = "it is written element NAME COUNT"
	if len(words) != 3 {
		return fault(form, "an element line of %d words", len(words))
	}
	count, err := strconv.ParseInt(words[2], 10, 64)
	if err != nil || count < 0 {
		return fault("the file was written wrongly, or its header was damaged", "the count of element %s, %q, is not a whole number from 0 to 2^63 - 1", words[1], words[2])
	}
	if words[1] == "vertex" {
		if h.vertex >= 0 {
			return fault("", "a second element vertex")
		}
		h.vertex = len(h.elements)
	}
	h.elements = append(h.elements, plyElement{name: words[1], count: count, at: at})
	return nil
}

func (h *plyHeader) property(words []string, fault faulter) error {
	if len(h.elements) == 0 {
		return fault("", "a property before the first element")
	}
	e := &h.elements[len(h.elements)-1]
	var p plyProperty
	types := words[1:]
	if len(types) > 0 && types[0] == "list" {
		p.list = true
		types = types[1:]
		if len(types) > 0 {
			p.length = plyKind(types[0])
			if p.length == 0 || !p.length.whole() {
				return fault(plyTypes+"; the length of a list is one of the integers", "a list whose length is of type %s", types[0])
			}
			types = types[1:]
		}
	}
	if len(types) < 2 {
		return fault("it is written property TYPE NAME or property list TYPE TYPE NAME", "a property line of %d words", len(words))
	}
	if p.kind = plyKind(types[0]); p.kind == 0 {
		return fault(plyTypes, "a property of type %s", types[0])
	}
	p.name = strings.Join(types[1:], " ") // a name is one word, but more do not alter what the data mean
	e.properties = append(e.properties, p)
	return nil
}
