package scan

import (
	"context"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
)

// maxPCDRecord is the longest record that is read, in bytes: some thousand numbers a point.
const maxPCDRecord = 1 << 16

// pcdHeader is the header of a PCD file, one line for each key.
type pcdHeader struct {
	in     *input
	lines  *lines
	places map[string]place // of the keys

	fields        []pcdField
	width, height int64
	points        int64
	viewpoint     [7]float64 // translation, quaternion w x y z
	data          string     // ascii, binary or binary_compressed

	start place // of the data: their offset, and the number of the line before them
}

// pcdField is a column: count numbers of one type in each record.
type pcdField struct {
	name  string
	size  int
	kind  byte // I, U or F
	count int
}

// readPCDHeader reads as far as the line DATA.
func readPCDHeader(in *input) (*pcdHeader, error) {
	src, err := in.stream(context.Background(), 0, nil)
	if err != nil {
		return nil, err
	}
	h := &pcdHeader{in: in, lines: in.lines(src, 0, 0), places: map[string]place{}, viewpoint: [7]float64{3: 1}}
	for h.data == "" {
		line, err := h.lines.read()
		if errors.Is(err, io.EOF) {
			return nil, in.fault(lineAt(h.lines.next, h.lines.line+1), "copy the file again", "the header ends before its line DATA")
		}
		if err != nil {
			return nil, err
		}
		if words := strings.Fields(string(line)); len(words) > 0 && words[0][0] != '#' {
			if err := h.take(words[0], words[1:]); err != nil {
				return nil, err
			}
		}
	}
	h.start = lineAt(h.lines.next, h.lines.line)
	return h, h.complete()
}

// take reads the line of a key.
func (h *pcdHeader) take(key string, values []string) error {
	if at, twice := h.places[key]; twice {
		return h.lines.fault("remove one of them", "a second line %.20s; the first is line %d", key, at.line)
	}
	h.places[key] = lineAt(h.lines.offset, h.lines.line)
	if known := pcdKeys(); !slices.Contains(known, key) {
		return h.lines.fault("the keys are "+strings.Join(known, ", "), "%.40q is no key of a PCD header", key)
	}
	switch key {
	case "FIELDS":
		for _, name := range values {
			h.fields = append(h.fields, pcdField{name: name, count: 1})
		}
		return nil
	case "SIZE", "TYPE", "COUNT":
		return h.describe(key, values)
	case "VIEWPOINT":
		return h.view(values)
	}
	if len(values) != 1 {
		return h.lines.fault("", "%s has %s where 1 was expected", key, counted(int64(len(values)), "value"))
	}
	switch value := values[0]; key {
	case "VERSION":
		if v := strings.TrimPrefix(value, "0"); v != ".6" && v != ".7" {
			return h.lines.fault("save it as version 0.7", "the version is %.20q, only 0.6 and 0.7 are known", value)
		}
	case "DATA":
		if value != "ascii" && value != "binary" && value != "binary_compressed" {
			return h.lines.fault("it can be ascii, binary or binary_compressed", "the data are %.40q", value)
		}
		h.data = value
	case "WIDTH":
		return h.number(value, key, &h.width)
	case "HEIGHT":
		return h.number(value, key, &h.height)
	case "POINTS":
		return h.number(value, key, &h.points)
	}
	return nil
}

func pcdKeys() []string {
	return []string{"VERSION", "FIELDS", "SIZE", "TYPE", "COUNT", "WIDTH", "HEIGHT", "VIEWPOINT", "POINTS", "DATA"}
}

func (h *pcdHeader) number(value, key string, n *int64) error {
	v, err := strconv.ParseInt(value, 10, 64)
	if err != nil || v < 0 {
		return h.lines.fault("the file was written wrongly, or its header was damaged", "%s is %.40q, not a whole number from 0 to 2^63 - 1", key, value)
	}
	*n = v
	return nil
}

// describe reads a line with a value for each field.
func (h *pcdHeader) describe(key string, values []string) error {
	if len(values) != len(h.fields) {
		return h.lines.fault("FIELDS comes first, and SIZE, TYPE and COUNT have a value for each field",
			"%s has %s, FIELDS names %s", key, counted(int64(len(values)), "value"), counted(int64(len(h.fields)), "field"))
	}
	for i, value := range values {
		f := &h.fields[i]
		n, err := strconv.Atoi(value)
		switch {
		case key == "TYPE" && (value == "I" || value == "U" || value == "F"):
			f.kind = value[0]
		case key == "SIZE" && err == nil && (n == 1 || n == 2 || n == 4 || n == 8):
			f.size = n
		case key == "COUNT" && err == nil && n >= 1 && n <= maxPCDRecord:
			f.count = n
		default:
			return h.lines.fault("SIZE is 1, 2, 4 or 8, TYPE is I, U or F, COUNT at least 1", "the %s of field %.40s is %.40q", key, f.name, value)
		}
	}
	return nil
}

// view reads where the sensor stood.
func (h *pcdHeader) view(values []string) error {
	if len(values) != len(h.viewpoint) {
		return h.lines.fault("it is tx ty tz qw qx qy qz", "VIEWPOINT has %s where 7 were expected", counted(int64(len(values)), "value"))
	}
	for i, value := range values {
		v, ok := parseFloat([]byte(value))
		if !ok {
			return h.lines.fault("it is tx ty tz qw qx qy qz", "%.40q in VIEWPOINT is no number", value)
		}
		h.viewpoint[i] = v
	}
	return nil
}

// complete looks whether the header has what is needed and does not contradict itself.
func (h *pcdHeader) complete() error {
	for _, key := range []string{"VERSION", "FIELDS", "SIZE", "TYPE"} {
		if _, found := h.places[key]; !found {
			return h.in.fault(h.start, "save the scan again", "the header has no line %s", key)
		}
	}
	if err := h.counts(); err != nil {
		return err
	}
	for _, f := range h.fields {
		if f.kind == 'F' && f.size < 4 {
			return h.in.fault(h.places["SIZE"], "", "the field %.40s is of type F, but has %s", f.name, counted(int64(f.size), "byte"))
		}
	}
	for _, axis := range []string{"x", "y", "z"} {
		is := func(f pcdField) bool { return f.name == axis }
		i := slices.IndexFunc(h.fields, is)
		switch {
		case i < 0:
			return h.in.fault(h.places["FIELDS"], "save the scan with its coordinates", "there is no field %s; the fields are %.200s", axis, h.names())
		case slices.ContainsFunc(h.fields[i+1:], is):
			return h.in.fault(h.places["FIELDS"], "", "there are two fields %s", axis)
		case h.fields[i].count != 1:
			return h.in.fault(h.places["COUNT"], "", "the field %s has %d values in each record", axis, h.fields[i].count)
		}
	}
	if stride := h.stride(); stride > maxPCDRecord {
		return h.in.fault(h.places["COUNT"], "save the scan with fewer fields", "a record has %d bytes, more than the %d that are read", stride, maxPCDRecord)
	}
	return nil
}

// counts settles the number of points.
func (h *pcdHeader) counts() error {
	width, height, points := h.places["WIDTH"], h.places["HEIGHT"], h.places["POINTS"]
	if height.line == 0 {
		h.height = 1
	}
	switch {
	case width.line == 0 && points.line == 0:
		return h.in.fault(h.start, "save the scan again", "the header has neither WIDTH nor POINTS")
	case width.line == 0:
	case h.height > 0 && h.width > (1<<63-1)/h.height:
		return h.in.fault(width, "the header is damaged", "WIDTH %d times HEIGHT %d is more than any file holds", h.width, h.height)
	case points.line == 0:
		h.points = h.width * h.height
	case h.points != h.width*h.height:
		return h.in.fault(points, "save the scan again", "POINTS is %d, WIDTH %d times HEIGHT %d makes %d", h.points, h.width, h.height, h.width*h.height)
	}
	if h.points == 0 {
		return h.in.empty("point")
	}
	return nil
}

func (h *pcdHeader) names() string {
	var names []string
	for _, f := range h.fields {
		names = append(names, f.name)
	}
	return strings.Join(names, ", ")
}

// stride returns the length of a record, in bytes of binary data.
func (h *pcdHeader) stride() int {
	n := 0
	for _, f := range h.fields {
		n += f.size * f.count
	}
	return n
}

// kindOf returns the type of a field's numbers.
func (f *pcdField) kindOf() kind {
	switch f.kind {
	case 'F':
		if f.size == 4 {
			return float32Kind
		}
		return float64Kind
	case 'I':
		return map[int]kind{1: int8Kind, 2: int16Kind, 4: int32Kind, 8: int64Kind}[f.size]
	default:
		return map[int]kind{1: uint8Kind, 2: uint16Kind, 4: uint32Kind, 8: uint64Kind}[f.size]
	}
}

// coordinates returns where x, y and z stand in a record, and how many values precede each.
func (h *pcdHeader) coordinates() (l layout, columns [3]int) {
	offset, column := 0, 0
	for i := range h.fields {
		f := &h.fields[i]
		if axis := slices.Index([]string{"x", "y", "z"}, f.name); axis >= 0 {
			l.xyz[axis] = scanColumn(offset, f)
			columns[axis] = column
		}
		offset += f.size * f.count
		column += f.count
	}
	l.stride = offset
	return l, columns
}

func scanColumn(offset int, f *pcdField) column { return column{offset: offset, kind: f.kindOf()} }
