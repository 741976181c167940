package scan_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestPCDRoundTrip writes fields of all types in any order in the three ways.
func TestPCDRoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		d := pcdDraft{width: rapid.IntRange(1, 60).Draw(t, "width"), height: rapid.IntRange(1, 3).Draw(t, "height"), pack: literals}
		names := rapid.Permutation([]string{"x", "y", "z", "rgb", "_", "label"}).Draw(t, "order")
		axes := map[string]*pcdDraftField{}
		for _, name := range names {
			f := pcdDraftField{name: name, kind: rapid.SampledFrom([]byte("IUF")).Draw(t, "type"), count: 1}
			f.size = rapid.SampledFrom([]int{4, 8}).Draw(t, "size")
			if f.kind != 'F' {
				f.size = rapid.SampledFrom([]int{1, 2, 4, 8}).Draw(t, "size")
			}
			if len(name) > 1 || name == "_" {
				f.count = rapid.IntRange(1, 3).Draw(t, "count")
			}
			for range f.count * d.points() {
				v := float64(rapid.IntRange(-100, 100).Draw(t, "value"))
				if f.kind == 'U' {
					v = math.Abs(v)
				}
				if f.kind == 'F' {
					v /= 8
				}
				f.values = append(f.values, v)
			}
			d.fields = append(d.fields, f)
		}
		for i := range d.fields {
			axes[d.fields[i].name] = &d.fields[i]
		}
		for _, d.data = range []string{"ascii", "binary", "binary_compressed"} {
			content := d.bytes()
			for _, workers := range []int{1, 4} {
				r, err := readBytes(content, "a.pcd", workers)
				if err != nil {
					t.Fatalf("%s: %v\n%s", d.data, err, d.header())
				}
				for i := range d.points() {
					if want := [3]float64{axes["x"].values[i], axes["y"].values[i], axes["z"].values[i]}; r.point(i) != want {
						t.Fatalf("%s: point %d %v, want %v\n%s", d.data, i, r.point(i), want, d.header())
					}
				}
				if len(r.xyz) != 3*d.points() {
					t.Fatalf("%s: %d points, want %d", d.data, len(r.xyz)/3, d.points())
				}
			}
		}
	})
}

// TestLZF unpacks random literals and references, among them such as overlap themselves and reach as far back as they can.
// What liblzf itself has packed is read in TestPCDFiles.
func TestLZF(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var raw, packed []byte
		for range rapid.IntRange(1, 400).Draw(t, "operations") {
			if len(raw) == 0 || rapid.Bool().Draw(t, "literal") {
				b := rapid.SliceOfN(rapid.Byte(), 1, 32).Draw(t, "bytes")
				raw, packed = append(raw, b...), append(packed, literals(b)...)
				continue
			}
			distance := rapid.IntRange(1, min(len(raw), 8192)).Draw(t, "distance")
			length := rapid.IntRange(3, 264).Draw(t, "length")
			packed = reference(packed, length, distance)
			for range length {
				raw = append(raw, raw[len(raw)-distance])
			}
		}
		for len(raw)%3 != 0 {
			raw, packed = append(raw, 7), append(packed, 0, 7)
		}
		n := len(raw) / 3
		d := pcdDraft{width: n, height: 1, data: "binary_compressed", pack: func([]byte) []byte { return packed }}
		for axis, name := range []string{"z", "x", "y"} {
			f := pcdDraftField{name: name, size: 1, kind: 'U', count: 1}
			for _, b := range raw[axis*n : (axis+1)*n] {
				f.values = append(f.values, float64(b))
			}
			d.fields = append(d.fields, f)
		}
		r, err := readBytes(d.bytes(), "a.pcd", 1)
		if err != nil {
			t.Fatal(err)
		}
		for i := range n {
			if want := [3]float64{float64(raw[n+i]), float64(raw[2*n+i]), float64(raw[i])}; r.point(i) != want {
				t.Fatalf("point %d of %d: %v, want %v", i, n, r.point(i), want)
			}
		}
	})
}

// scene is a small file of singles.
func scene(data string) pcdDraft {
	d := pcdDraft{width: 10, height: 1, data: data, pack: literals}
	for axis, name := range []string{"x", "y", "z"} {
		f := pcdDraftField{name: name, size: 4, kind: 'F', count: 1}
		for i := range 10 {
			f.values = append(f.values, float64(100*axis+i))
		}
		d.fields = append(d.fields, f)
	}
	return d
}

func TestPCDHeaders(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ old, by, words string }{
		{"DATA ascii\n", "", "is no key of a PCD header"},
		{"VERSION 0.7\n", "", "no line VERSION"},
		{"VERSION 0.7", "VERSION 0.5", `version is "0.5"`},
		{"VERSION 0.7", "VERSION", "VERSION has 0 values"},
		{"FIELDS x y z", "FIELDS x y intensity", "no field z; the fields are x, y, intensity"},
		{"FIELDS x y z", "FIELDS x x z", "two fields x"},
		{"FIELDS x y z", "FIELDS x y", "SIZE has 3 values, FIELDS names 2 fields"},
		{"FIELDS x y z\nSIZE 4 4 4", "SIZE 4 4 4\nFIELDS x y z", "FIELDS names 0 fields"},
		{"SIZE 4 4 4\n", "", "no line SIZE"},
		{"SIZE 4 4 4", "SIZE 4 4 3", `the SIZE of field z is "3"`},
		{"SIZE 4 4 4", "SIZE 4 2 4", "field y is of type F, but has 2 bytes"},
		{"TYPE F F F", "TYPE F F X", `the TYPE of field z is "X"`},
		{"COUNT 1 1 1", "COUNT 1 1 0", `the COUNT of field z is "0"`},
		{"COUNT 1 1 1", "COUNT 1 3 1", "field y has 3 values in each record"},
		{"COUNT 1 1 1", "COUNT 1 1 99999999999", `the COUNT of field z is "99999999999"`},
		{"WIDTH 10", "WIDTH 11", "POINTS is 10, WIDTH 11 times HEIGHT 1 makes 11"},
		{"WIDTH 10", "WIDTH 18446744073709551626", `WIDTH is "18446744073709551626"`},
		{"WIDTH 10\nHEIGHT 1", "WIDTH 4611686018427387904\nHEIGHT 4", "more than any file holds"},
		{"WIDTH 10\nHEIGHT 1", "WIDTH 0\nHEIGHT 0", "POINTS is 10, WIDTH 0 times HEIGHT 0 makes 0"},
		{"WIDTH 10\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS 10", "WIDTH 0\nHEIGHT 0\nPOINTS 0", "nothing to measure"},
		{"WIDTH 10\nHEIGHT 1\nVIEWPOINT 0 0 0 1 0 0 0\nPOINTS 10\n", "", "neither WIDTH nor POINTS"},
		{"VIEWPOINT 0 0 0 1 0 0 0", "VIEWPOINT 0 0 0", "VIEWPOINT has 3 values"},
		{"VIEWPOINT 0 0 0 1 0 0 0", "VIEWPOINT 0 0 0 1 0 0 a", `"a" in VIEWPOINT is no number`},
		{"POINTS 10", "POINTS 10\nPOINTS 10", "a second line POINTS; the first is line 10"},
		{"WIDTH 10\n", "WIDTH -10\n", `WIDTH is "-10"`},
		{"DATA ascii", "DATA csv", `data are "csv"`},
		{"POINTS 10\nDATA ascii", "COLOUR red\nDATA ascii", `"COLOUR" is no key`},
	} {
		d := scene("ascii")
		content := string(d.bytes())
		if !strings.Contains(content, c.old) {
			t.Fatalf("%s is not there", c.old)
		}
		wantFault(t, []byte(strings.Replace(content, c.old, c.by, 1)), "a.pcd", c.words)
	}
	wantFault(t, []byte("VERSION 0.7\nFIELDS x y z\n"), "a.pcd", "header ends before its line DATA", "line 3")
	wantFault(t, testdata(t, "points/pcd-no-z.pcd"), "pcd-no-z.pcd", "no field z", "x, y, intensity", "line 3")
}

// What programs leave out or write otherwise.
func TestPCDVariants(t *testing.T) {
	t.Parallel()
	d := scene("ascii")
	want := mustRead(t, d.bytes(), "a.pcd")
	for _, c := range []struct{ old, by string }{
		{"# .PCD v0.7 - Point Cloud Data file format\n", ""},
		{"# .PCD v0.7 - Point Cloud Data file format\n", "# a comment\n\n"},
		{"VERSION 0.7", "VERSION .7"},
		{"VERSION 0.7", "VERSION 0.6"},
		{"VIEWPOINT 0 0 0 1 0 0 0\n", ""},
		{"COUNT 1 1 1\n", ""},
		{"POINTS 10\n", ""},
		{"HEIGHT 1\n", ""},
		{"\n", "\r\n"},
		{"\n", "\r"},
		{"WIDTH 10\nHEIGHT 1", "WIDTH 5\nHEIGHT 2"},
	} {
		content := strings.Replace(string(d.bytes()), c.old, c.by, 1)
		if c.old == "\n" {
			content = strings.ReplaceAll(string(d.bytes()), c.old, c.by)
		}
		if diff := different(want, mustRead(t, []byte(content), "a.pcd")); diff != "" {
			t.Errorf("%q for %q: a difference in %s", c.by, c.old, diff)
		}
	}
	d = scene("binary")
	want = mustRead(t, d.bytes(), "a.pcd")
	head := strings.ReplaceAll(d.header(), "\n", "\r\n")
	if diff := different(want, mustRead(t, append([]byte(head), d.bytes()[len(d.header()):]...), "a.pcd")); diff != "" {
		t.Errorf("binary behind a header with CR LF: a difference in %s", diff)
	}
}

func TestPCDViewpoint(t *testing.T) {
	t.Parallel()
	d := scene("binary")
	want := mustRead(t, d.bytes(), "a.pcd")
	r := mustRead(t, bytes.Replace(d.bytes(), []byte("VIEWPOINT 0 0 0 1"), []byte("VIEWPOINT 5 0 0 1"), 1), "a.pcd")
	if len(r.tally.Warnings) != 1 || r.point(9) != want.point(9) {
		t.Fatalf("%v, warnings %q", r.point(9), r.tally.Warnings)
	}
	wantWords(t, "warning", r.tally.Warnings[0], "viewpoint", "5 0 0", "not applied")
}

// Points that were not measured keep their places in an organised cloud.
func TestPCDOrganised(t *testing.T) {
	t.Parallel()
	for _, data := range []string{"ascii", "binary", "binary_compressed"} {
		d := scene(data)
		d.width, d.height = 5, 2
		d.fields[1].values[3] = math.NaN()
		d.fields[2].values[7] = math.NaN()
		r := mustRead(t, d.bytes(), "a.pcd")
		if len(r.xyz) != 3*8 || r.tally.NonFinite != 2 || r.tally.FirstNonFinite != 3 || len(r.tally.Warnings) != 1 {
			t.Errorf("%s: %d points, %+v", data, len(r.xyz)/3, r.tally)
		}
	}
}

func TestPCDContradictions(t *testing.T) {
	t.Parallel()
	binaryData, compressed, text := scene("binary"), scene("binary_compressed"), scene("ascii")
	whole := binaryData.bytes()
	wantFault(t, whole[:len(whole)-1], "a.pcd", "10 points announced, data for 9")
	wantFault(t, append(bytes.Clone(whole), bytes.Repeat([]byte{1}, 40)...), "a.pcd", "10 points announced, 40 bytes left over")
	wantFault(t, append(bytes.Clone(whole), make([]byte, 1<<17)...), "a.pcd", "131072 bytes left over")
	if r := mustRead(t, append(bytes.Clone(whole), "\r\n"...), "a.pcd"); len(r.tally.Warnings) != 1 {
		t.Errorf("warnings %q", r.tally.Warnings)
	}
	if r := mustRead(t, append(bytes.Clone(whole), make([]byte, 4000)...), "a.pcd"); len(r.tally.Warnings) != 0 {
		t.Errorf("warnings %q", r.tally.Warnings)
	}
	rows := text.bytes()
	wantFault(t, rows[:len(rows)-12], "a.pcd", "10 points announced, rows for 9")
	wantFault(t, append(bytes.Clone(rows), "1 2 3\n"...), "a.pcd", "10 points announced, rows for 11")
	wantFault(t, append(bytes.Clone(rows), "1 2\n"...), "a.pcd", "the line has 2 columns where the header describes 3", "line 22")
	wantFault(t, append(bytes.Clone(rows), "1 2 a\n"...), "a.pcd", `z, in column 3, is "a"`)

	start := len(compressed.header())
	patched := func(at int, v uint32, more ...byte) []byte {
		b := compressed.bytes()
		if at >= 0 {
			binary.LittleEndian.PutUint32(b[start+at:], v)
		}
		return append(b, more...)
	}
	size := uint32(len(compressed.bytes()) - start - 8)
	wantFault(t, compressed.bytes()[:start+7], "a.pcd", "ends before its compressed data")
	wantFault(t, patched(4, 121), "a.pcd", "10 points of 12 bytes announced, but 121 bytes of uncompressed data")
	wantFault(t, patched(0, 1), "a.pcd", "120 bytes of data cannot be compressed to 1")
	wantFault(t, patched(0, 1<<31), "a.pcd", "2147483648 bytes of compressed data announced", fmt.Sprintf("%d follow", size))
	wantFault(t, patched(0, size-1), "a.pcd", "end inside a literal")
	wantFault(t, patched(0, size+2, 0, 0), "a.pcd", "go on for 2 bytes")
	wantFault(t, patched(-1, 0, bytes.Repeat([]byte{9}, 12)...), "a.pcd", "12 bytes left over")
	for i, c := range [][]byte{{0xff, 0x00, 0xff}, {0x20, 0x00}, {0x3f, 0x10}} {
		d := compressed
		d.pack = func(raw []byte) []byte { return append(c, literals(raw[i:])...) }
		wantFault(t, d.bytes(), "a.pcd", "refer to what is before their start")
	}
	compressed.pack = func(raw []byte) []byte { return literals(raw[:96]) }
	wantFault(t, compressed.bytes(), "a.pcd", "end 24 bytes before the last value")
	compressed.pack = func(raw []byte) []byte { return reference(literals(raw[:100]), 264, 100) }
	wantFault(t, compressed.bytes(), "a.pcd", "more bytes than the header states")
}
