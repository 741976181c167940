package scan_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/records/scan"
)

// Files of any layout give back the coordinates that were written, to the bit, packed or not.
func TestPLYOfAnyLayout(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		counts := []int{1, 2, 3, 10, 100, 1000}
		if rapid.IntRange(0, 9).Draw(rt, "large") == 0 {
			counts = []int{scan.BlockPoints - 1, scan.BlockPoints, scan.BlockPoints + 1, 2*scan.BlockPoints + 7}
		}
		f, want := drawPLY(rt, rapid.SampledFrom(counts).Draw(rt, "vertices"))
		content := f.bytes()
		name := "a.ply"
		if rapid.IntRange(0, 3).Draw(rt, "packed") == 0 {
			content, name = packed(t, content), "a.ply.gz"
		}
		one, err := readBytes(content, name, 1)
		if err != nil {
			rt.Fatalf("%v", err)
		}
		for _, workers := range []int{2, 5} {
			more, err := readBytes(content, name, workers)
			if err != nil {
				rt.Fatalf("%v", err)
			}
			if d := different(one, more); d != "" {
				rt.Fatalf("one worker and %d differ in %s", workers, d)
			}
		}
		if len(one.xyz) != 3*len(want) {
			rt.Fatalf("%d points, want %d", len(one.xyz)/3, len(want))
		}
		for i, p := range want {
			if one.point(i) != p {
				rt.Fatalf("point %d is %v, want %v", i, one.point(i), p)
			}
		}
		if len(one.tally.Warnings) > 0 {
			rt.Fatalf("warnings %q", one.tally.Warnings)
		}
	})
}

// Wherever a file of any layout is cut, it is refused, except behind the last visible byte; there a warning may do.
func TestPLYCut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f, _ := drawPLY(rt, rapid.IntRange(1, 40).Draw(rt, "vertices"))
		content := f.bytes()
		n := rapid.IntRange(1, len(content)-1).Draw(rt, "cut")
		r, err := readBytes(content[:n], "a.ply", 2)
		if err == nil && f.format == "ascii" && len(r.tally.Warnings) == 0 && n < len(strings.TrimRight(string(content), " \r\n")) {
			rt.Fatalf("%q cut to %d of %d bytes was read", content[:n], n, len(content))
		}
		if err == nil && f.format != "ascii" {
			rt.Fatalf("cut to %d of %d bytes was read", n, len(content))
		}
		var fault *scan.Error
		if err != nil && (!errors.As(err, &fault) || fault.File != "a.ply" || fault.Found == "") {
			rt.Fatalf("%v", err)
		}
	})
}

func TestPLYHeaders(t *testing.T) {
	const xyz = "property float x\nproperty float y\nproperty float z\n"
	head := func(format, vertex, rest string) string {
		return "ply\nformat " + format + " 1.0\nelement vertex " + vertex + "\n" + xyz + rest + "end_header\n"
	}
	tests := []struct{ content, says string }{
		{"ply", "header ends before end_header"},
		{"ply\n", "header ends before end_header"},
		{"ply\nend_header\n", "does not state the format"},
		{"ply\nformat ascii 2.0\n", `the format is "ascii 2.0"`},
		{"ply\nformat binary 1.0\n", `the format is "binary 1.0"`},
		{"ply\nformat ascii 1.0\nformat ascii 1.0\n", "stated twice"},
		{"ply\nformat ascii 1.0\nply\n", "a second"},
		{"ply\nformat ascii 1.0\nelement face 3\nend_header\n", "no element vertex"},
		{"ply\nformat ascii 1.0\nelement vertex\n", "an element line of 2 words"},
		{"ply\nformat ascii 1.0\nelement vertex -1\n", `"-1", is not a whole number`},
		{"ply\nformat ascii 1.0\nelement vertex 1e3\n", `"1e3", is not a whole number`},
		{"ply\nformat ascii 1.0\nproperty float x\n", "before the first element"},
		{"ply\nformat ascii 1.0\nelement vertex 1\nproperty real x\n", "type real"},
		{"ply\nformat ascii 1.0\nelement vertex 1\nproperty float\n", "a property line of 2 words"},
		{"ply\nformat ascii 1.0\nelement vertex 1\nproperty list float int n\n", "length is of type float"},
		{"ply\nformat ascii 1.0\nelement vertex 1\nproperty list uchar int\n", "a property line of 4 words"},
		{"ply\nformat ascii 1.0\nelement vertex 1\npropperty float x\n", `begins with "propperty"`},
		{head("ascii", "1", "element vertex 2\n"), "a second element vertex"},
		{head("ascii", "1", "property float x\n"), "more than one property x"},
		{strings.Replace(head("ascii", "1", ""), "float z", "float w", 1), "no property z"},
		{strings.Replace(head("ascii", "1", ""), "float z", "list uchar float z", 1), "property z of the vertices is a list"},
		{head("ascii", "0", ""), "nothing to measure: the file has no vertices"},
		{head("ascii", "2", "") + "1 2 3\n", "line 9: 2 vertices announced, data for 1"},
		{head("ascii", "2", "") + "1 2 3\n1 2\n", "line 9: the line has 2 values where a record of element vertex has 3"},
		{head("ascii", "2", "") + "1 2 3 4\n1 2\n", "line 8: the line has 4 values"},
		{head("ascii", "1", "") + "1 2 3,5\n", `"3,5" is not a number; write the numbers with decimal points`},
		{head("ascii", "1", "") + "1 2 \v\n", `"\v" is not a number`},
		{head("ascii", "1", "") + "nan inf 3\n", "no vertex has finite coordinates (1 have others)"},
		{head("ascii", "1", "property list uchar int n\n") + "1 2 3 2 7\n", "the line has 1 of the 2 values of the list n"},
		{head("ascii", "1", "property list uchar int n\n") + "1 2 3 0 7\n", `goes on with "7"`},
		{head("ascii", "1", "property list uchar int n\n") + "1 2 3 -1\n", `"-1" is not the length of the list n`},
		{head("ascii", "1", "property list uchar int n\n") + "1 2 3\n", "ends before the property n"},
		{head("ascii", "1", "element face 2\nproperty list uchar int n\n") + "1 2 3\n0\n", "2 records of element face announced, data for 1"},
		{head("binary_little_endian", "9223372036854775807", ""), "9223372036854775807 vertices announced, data for 0"},
		{head("binary_little_endian", "4611686018427387905", "") + "123456789012", "4611686018427387905 vertices announced, data for 1"}, // 12 · (2^62 + 1) is 12 in 64 bits
		{head("binary_little_endian", "1", "element face 1152921504606846976\nproperty double a\nproperty double b\n") + "123456789012", "announced, data for 0"},
		{head("binary_big_endian", "1", "element face 2\nproperty list int uchar n\n") + "123456789012" + "\x00\x00\x00\x01\x07\xff\xff\xff\xff", "face 1, counted from 0, has a list n of -1 values; the file is damaged"},
		{head("binary_big_endian", "1", "element face 3\nproperty list uchar uchar n\n") + "123456789012" + "\x01\x07\x00", "3 records of element face announced, data for 2"},
		{head("binary_big_endian", "1", "") + "123456789012" + "123456789012", "12 bytes left over behind the last element"},
	}
	for _, tt := range tests {
		wantFault(t, []byte(tt.content), "a.ply", tt.says)
		if strings.Contains(tt.says, "line ") || len(tt.content) == 3 {
			continue // the mark alone may be the whole of the file
		}
		wantFault(t, packed(t, []byte(tt.content)), "a.ply.gz", strings.TrimPrefix(tt.says, "line"))
	}
	wantFault(t, []byte("ply\n"+strings.Repeat("comment and so on\n", 1<<17)), "a.ply", "the header goes on for more than")
}

// A converter writes float for fields that it stores as double: 51 bytes a vertex where the header says 39.
func TestPLYWithWrongTypes(t *testing.T) {
	f := plyFile{format: "binary_little_endian", eol: "\n"}
	e := plyTable{name: "vertex", count: 290}
	for i, name := range []string{"x", "y", "z", "nx", "ny", "nz", "red", "green", "blue"} {
		kind := "double"
		if i >= 6 {
			kind = "uchar"
		}
		e.columns = append(e.columns, plyColumn{name: name, kind: kind, value: func(row, _ int) float64 { return float64(row + i) }})
	}
	f.elements = []plyTable{e, {name: "face"}}
	lying := bytes.ReplaceAll(f.bytes(), []byte("property double n"), []byte("property float n"))
	wantFault(t, lying, "a.ply", "3480 bytes left over", "39 bytes a vertex", "fit 51")
	wantFault(t, packed(t, lying), "a.ply.gz", "3480 bytes left over", "39 bytes a vertex", "fit 51")
}

// A line end behind binary data is none of them; a warning tells that it was seen.
func TestPLYTrailingBytes(t *testing.T) {
	for _, file := range []string{"malformed/ply-crlf-binary.ply", "malformed/ply-list-before-xyz.ply", "o3d-mesh-binary.ply"} {
		content := testdata(t, file)
		want := mustRead(t, content, "a.ply")
		r := mustRead(t, append(slices.Clone(content), '\n'), "a.ply")
		if len(r.tally.Warnings) != 1 || !strings.Contains(r.tally.Warnings[0], "1 byte ") || !slices.Equal(r.xyz, want.xyz) {
			t.Errorf("%s: %q", file, r.tally.Warnings)
		}
	}
}

// Text may be cut within its last number, or be written without its last line end: a warning tells of it.
func TestPLYWithoutLastLineEnd(t *testing.T) {
	const head = "ply\nformat ascii 1.0\nelement vertex 2\nproperty float x\nproperty float y\nproperty float z\n"
	for _, content := range []string{
		head + "end_header\n1 2 3\n4 5 6.1",
		head + "element face 1\nproperty list uchar int n\nend_header\n1 2 3\n4 5 6.1\n3 0 1 1",
	} {
		r := mustRead(t, []byte(content), "a.ply")
		if len(r.tally.Warnings) != 1 || !strings.Contains(r.tally.Warnings[0], "no line end") {
			t.Errorf("%q: warnings %q", content, r.tally.Warnings)
		}
		if r := mustRead(t, []byte(content+"\n"), "a.ply"); len(r.tally.Warnings) > 0 {
			t.Errorf("%q: warnings %q", content, r.tally.Warnings)
		}
	}
}

// Points that are not finite are left out and counted, wherever they are, and their neighbours stay.
func TestNotFinite(t *testing.T) {
	for _, kind := range []string{"float", "double"} {
		for _, format := range []string{"ascii", "binary_little_endian", "binary_big_endian"} {
			for _, blank := range []bool{false, true} {
				const n = 2*scan.BlockPoints + 100
				bad := map[int]float64{n - 1: math.NaN(), 5: math.Inf(1), scan.BlockPoints: math.Inf(-1), 6: math.NaN()}
				columns := func(axis int) plyColumn {
					return plyColumn{name: "xyz"[axis : axis+1], kind: kind, value: func(row, _ int) float64 {
						if v, is := bad[row]; is && axis == row%3 {
							return v
						}
						return float64(row)/8 + float64(axis)
					}}
				}
				f := plyFile{format: format, eol: "\n", elements: []plyTable{{name: "vertex", count: n, columns: []plyColumn{columns(0), columns(1), columns(2)}}}}
				content := f.bytes()
				if blank {
					if format != "ascii" {
						continue
					}
					content = bytes.Replace(content, []byte("end_header\n"), []byte("end_header\n\n  \n"), 1)
				}
				r := mustRead(t, content, "a.ply")
				if r.tally.NonFinite != 4 || r.tally.FirstNonFinite != 5 || r.tally.Points != n-4 || len(r.tally.Warnings) != 1 {
					t.Errorf("%s %s: %+v", kind, format, r.tally)
				}
				for i, row := 0, 0; row < n; row++ {
					if _, is := bad[row]; is {
						continue
					}
					if want := [3]float64{float64(row) / 8, float64(row)/8 + 1, float64(row)/8 + 2}; r.point(i) != want {
						t.Fatalf("%s %s: point %d is %v, want %v", kind, format, i, r.point(i), want)
					}
					i++
				}
				delete(bad, 5)
				delete(bad, 6)
				if r := mustRead(t, f.bytes(), "a.ply"); r.tally.FirstNonFinite != scan.BlockPoints {
					t.Errorf("%s %s: the first is said to be %d", kind, format, r.tally.FirstNonFinite)
				}
			}
		}
	}
}

// Coordinates whose bytes stand in the other order are told in any type and however round they are; small ones, large ones
// and many zeros are not taken for them.
func TestByteOrder(t *testing.T) {
	file := func(kind, format string, value func(row, axis int) float64) []byte {
		e := plyTable{name: "vertex", count: 500}
		for axis, name := range []string{"x", "y", "z"} {
			e.columns = append(e.columns, plyColumn{name: name, kind: kind, value: func(row, _ int) float64 { return value(row, axis) }})
		}
		f := plyFile{format: format, eol: "\n", elements: []plyTable{e}}
		return f.bytes()
	}
	spread := func(row, axis int) float64 { return 100 * math.Sin(float64(3*row+axis)) }
	tests := map[string]func(row, axis int) float64{
		"spread":        spread,
		"round":         func(row, axis int) float64 { return math.Round(spread(row, axis)) / 4 },
		"metres":        func(row, axis int) float64 { return spread(row, axis) / 1000 },
		"a plane":       func(row, axis int) float64 { return spread(row, axis) * float64(min(axis, 1)) },
		"rounded zeros": func(row, axis int) float64 { return spread(row, axis) * []float64{1, 1, 1e-17}[axis] },
		"georeferenced": func(row, axis int) float64 { return spread(row, axis) + 5e6 },
	}
	for name, value := range tests {
		for _, kind := range []string{"float", "double"} {
			for i, format := range []string{"binary_little_endian", "binary_big_endian"} {
				right := file(kind, format, value)
				mustRead(t, right, name)
				other := []string{"binary_big_endian", "binary_little_endian"}[i]
				wrong := bytes.Replace(right, []byte(format), []byte(other), 1)
				wantFault(t, wrong, name+".ply", "the byte order looks wrong")
				wantFault(t, packed(t, wrong), name+" "+kind+".ply.gz", "the byte order looks wrong")
			}
		}
	}
}

// The last place that counts: single precision, integers, printed digits.
func TestPLYSteps(t *testing.T) {
	tests := []struct {
		kinds  [3]string
		format string
		want   float64
	}{
		{[3]string{"float", "float", "float"}, "binary_little_endian", 0x1p-17}, // largest 99.99
		{[3]string{"double", "double", "double"}, "binary_little_endian", 0},
		{[3]string{"double", "float", "double"}, "binary_big_endian", 0x1p-17},
		{[3]string{"int", "float", "double"}, "binary_big_endian", 1},
		{[3]string{"float", "float", "float"}, "ascii", 0.01},
	}
	for _, tt := range tests {
		e := plyTable{name: "vertex", count: 100}
		for axis, kind := range tt.kinds {
			e.columns = append(e.columns, plyColumn{name: "xyz"[axis : axis+1], kind: kind, value: func(row, _ int) float64 { return float64(row) + 0.99 }})
		}
		f := plyFile{format: tt.format, eol: "\n", elements: []plyTable{e}}
		content := f.bytes()
		if tt.format == "ascii" { // written with two places
			content = []byte(strings.SplitAfter(string(content), "end_header\n")[0])
			for row := range e.count {
				content = fmt.Appendf(content, "%[1]d.99 %[1]d.99 %[1]d.99\n", row)
			}
		}
		if r := mustRead(t, content, "a.ply"); r.tally.Step != tt.want {
			t.Errorf("%v %s: step %g, want %g", tt.kinds, tt.format, r.tally.Step, tt.want)
		}
	}
}
