package scan_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"

	"pgregory.net/rapid"
)

// plyFile is a PLY file to be, of any layout.
type plyFile struct {
	format   string // ascii, binary_little_endian, binary_big_endian
	eol      string
	elements []plyTable
	remarks  bool
}

type plyTable struct {
	name    string
	count   int
	columns []plyColumn
}

// plyColumn is a property; value gives its number in a row, list how many numbers the row has if it is a list.
type plyColumn struct {
	name, kind, length string
	value              func(row, i int) float64
	list               func(row int) int
}

func (f *plyFile) bytes() []byte {
	var h strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&h, format+f.eol, args...) }
	line("ply")
	if f.remarks {
		line("comment element vertex 3")
	}
	line("format %s 1.0", f.format)
	for _, e := range f.elements {
		line("element %s %d", e.name, e.count)
		for _, c := range e.columns {
			if f.remarks {
				line("obj_info between property lines")
			}
			if c.list != nil {
				line("property list %s %s %s", c.length, c.kind, c.name)
			} else {
				line("property %s %s", c.kind, c.name)
			}
		}
	}
	line("end_header")
	out := []byte(h.String())
	for _, e := range f.elements {
		for row := range e.count {
			if len(e.columns) > 0 {
				out = f.row(out, &e, row)
			}
		}
	}
	return out
}

func (f *plyFile) row(out []byte, e *plyTable, row int) []byte {
	for _, c := range e.columns {
		n := 1
		if c.list != nil {
			n = c.list(row)
			out = f.number(out, c.length, float64(n))
		}
		for i := range n {
			out = f.number(out, c.kind, c.value(row, i))
		}
	}
	if f.format == "ascii" {
		out = append(out, f.eol...)
	}
	return out
}

// number writes a number as the type holds it.
func (f *plyFile) number(out []byte, kind string, v float64) []byte {
	if f.format == "ascii" {
		return append(strconv.AppendFloat(out, held(kind, v), 'g', -1, 64), ' ')
	}
	var order binary.AppendByteOrder = binary.LittleEndian
	if f.format == "binary_big_endian" {
		order = binary.BigEndian
	}
	switch kind {
	case "char", "int8", "uchar", "uint8":
		return append(out, byte(int64(v)))
	case "short", "int16", "ushort", "uint16":
		return order.AppendUint16(out, uint16(int64(v)))
	case "int", "int32", "uint", "uint32":
		return order.AppendUint32(out, uint32(int64(v)))
	case "float", "float32":
		return order.AppendUint32(out, math.Float32bits(float32(v)))
	default:
		return order.AppendUint64(out, math.Float64bits(v))
	}
}

// held returns the number that is left of v in a type.
func held(kind string, v float64) float64 {
	switch kind {
	case "char", "int8":
		return float64(int8(int64(v)))
	case "uchar", "uint8":
		return float64(uint8(int64(v)))
	case "short", "int16":
		return float64(int16(int64(v)))
	case "ushort", "uint16":
		return float64(uint16(int64(v)))
	case "int", "int32":
		return float64(int32(int64(v)))
	case "uint", "uint32":
		return float64(uint32(int64(v)))
	case "float", "float32":
		return float64(float32(v))
	default:
		return v
	}
}

// drawPLY draws a file with a given number of vertices, and the coordinates that are in it.
func drawPLY(t *rapid.T, vertices int) (f plyFile, want [][3]float64) {
	f.format = rapid.SampledFrom([]string{"ascii", "binary_little_endian", "binary_big_endian"}).Draw(t, "format")
	f.eol = rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "line end")
	f.remarks = rapid.Bool().Draw(t, "remarks")
	others := rapid.IntRange(0, 3).Draw(t, "other elements")
	at := rapid.IntRange(0, others).Draw(t, "place of the vertices")
	for i := range others + 1 {
		if i != at {
			e := plyTable{name: []string{"face", "camera", "edge", "material"}[i], count: rapid.IntRange(0, 30).Draw(t, "count")}
			for range rapid.IntRange(0, 4).Draw(t, "properties") {
				e.columns = append(e.columns, drawColumn(t, fmt.Sprintf("p%d", len(e.columns))))
			}
			f.elements = append(f.elements, e)
			continue
		}
		e := plyTable{name: "vertex", count: vertices}
		for range rapid.IntRange(0, 4).Draw(t, "further properties") {
			e.columns = append(e.columns, drawColumn(t, fmt.Sprintf("p%d", len(e.columns))))
		}
		kinds := []string{"float", "float32", "double", "float64", "int", "int16", "uint", "ushort", "uchar", "char"}
		if rapid.Bool().Draw(t, "of one type") {
			kinds = kinds[rapid.IntRange(0, 3).Draw(t, "type"):][:1]
		}
		want = make([][3]float64, vertices)
		place := rapid.IntRange(0, len(e.columns)).Draw(t, "place of x")
		for axis, name := range []string{"x", "y", "z"} {
			c := plyColumn{name: name, kind: rapid.SampledFrom(kinds).Draw(t, "type")}
			c.value = func(row, _ int) float64 { return 100*math.Sin(float64(row)*0.37+float64(axis)) + 0.1*float64(axis) }
			for row := range want {
				want[row][axis] = held(c.kind, c.value(row, 0))
			}
			e.columns = append(e.columns[:place:place], append([]plyColumn{c}, e.columns[place:]...)...)
			place = rapid.IntRange(0, len(e.columns)).Draw(t, "place of the next")
		}
		f.elements = append(f.elements, e)
	}
	return f, want
}

func drawColumn(t *rapid.T, name string) plyColumn {
	c := plyColumn{name: name, value: func(row, i int) float64 { return float64((7*row + i) % 100) }}
	kinds := []string{"char", "uchar", "short", "ushort", "int", "uint", "float", "double", "int8", "uint8", "int16", "uint16", "int32", "uint32", "float32", "float64"}
	c.kind = rapid.SampledFrom(kinds).Draw(t, "type")
	if rapid.IntRange(0, 2).Draw(t, "list") == 0 {
		c.length = rapid.SampledFrom([]string{"uchar", "char", "short", "ushort", "int", "uint", "uint8", "int32"}).Draw(t, "type of length")
		most := rapid.IntRange(0, 9).Draw(t, "longest list")
		c.list = func(row int) int { return (row * 5) % (most + 1) }
	}
	return c
}
