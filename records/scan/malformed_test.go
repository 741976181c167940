package scan_test

import (
	"errors"
	"runtime"
	"strings"
	"testing"

	"plumbrule/records/scan"
)

// Files made to be survived, with the answer each wants. What the sentence has to say was laid down with the files.
func TestMalformedFiles(t *testing.T) {
	tests := []struct {
		file     string
		points   int // read all the same
		says     []string
		byte     int64
		line     int64
		warnings []string
	}{
		{file: "ply-header-cut.ply", says: []string{"header ends before end_header", "byte 80", "line 5"}, byte: 80, line: 5},
		{file: "ply-count-too-big.ply", says: []string{"5000 vertices announced", "data for 60"}, byte: 838},
		{file: "ply-2-31-vertices.ply", says: []string{"2147483648 vertices announced", "data for 60"}, byte: 844},
		{file: "ply-count-overflow.ply", says: []string{"18446744073709551676", "line 3"}, byte: 36, line: 3},
		{file: "ply-list-length.ply", says: []string{"vertex 2", "4294967280", "byte 187"}, byte: 187},
		{file: "ply-wrong-endian.ply", says: []string{"byte order looks wrong", "little-endian, as stated"}, byte: 116},
		{file: "ply-count-too-small.ply", says: []string{"700 vertices announced", "25 rows", "line 708"}, byte: 18219, line: 708},
		{file: "ply-nan-inf.ply", points: 57, warnings: []string{"3 vertices", "not finite", "vertex 7,"}},
		{file: "ply-crlf-binary.ply", points: 60},
		{file: "ply-list-before-xyz.ply", points: 725},
		{file: "stl-no-facets.stl", says: []string{"nothing to measure", "no facets"}, byte: -1},
		{file: "stl-count-too-big.stl", says: []string{"1000000 facets announced", "data for 3"}, byte: 234},
		{file: "stl-binary-solid.stl", points: 18},
		{file: "gz-cut.xyz.gz", says: []string{"gzip stream ends before its trailer"}, byte: 1221},
		{file: "gz-cut.ply.gz", says: []string{"gzip stream ends before its trailer"}, byte: 5764},
	}
	for _, tt := range tests {
		t.Run(tt.file, func(t *testing.T) {
			content := testdata(t, "malformed/"+tt.file)
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			r, err := readBytes(content, tt.file, 2)
			runtime.ReadMemStats(&after)
			if taken := after.TotalAlloc - before.TotalAlloc; taken > 16<<20 {
				t.Errorf("took %d bytes of memory, many times its size", taken)
			}
			if tt.says == nil {
				if err != nil {
					t.Fatal(err)
				}
				if len(r.xyz) != 3*tt.points {
					t.Errorf("%d points, want %d", len(r.xyz)/3, tt.points)
				}
				if len(r.tally.Warnings) > 0 != (tt.warnings != nil) {
					t.Errorf("warnings %q", r.tally.Warnings)
				}
				wantWords(t, "warnings", strings.Join(r.tally.Warnings, " "), tt.warnings...)
				return
			}
			var fault *scan.Error
			if !errors.As(err, &fault) {
				t.Fatalf("%v, want a fault of the file", err)
			}
			wantWords(t, "error", fault.Error(), append(tt.says, tt.file)...)
			if fault.Byte != tt.byte || fault.Line != tt.line || fault.Mend == "" {
				t.Errorf("%+v, want byte %d and line %d", *fault, tt.byte, tt.line)
			}
		})
	}
}

// wantFault reads content by one worker and by four, and looks for the same fault with these words.
func wantFault(t *testing.T, content []byte, name string, words ...string) {
	t.Helper()
	_, err := readBytes(content, name, 1)
	var fault *scan.Error
	if !errors.As(err, &fault) {
		t.Errorf("%s, %.60q: %v, want a fault with %q", name, content, err, words)
		return
	}
	wantWords(t, name, fault.Error(), words...)
	if _, four := readBytes(content, name, 4); four == nil || four.Error() != err.Error() {
		t.Errorf("%s: by four workers %v, by one %v", name, four, err)
	}
}

func TestForeignFiles(t *testing.T) {
	wide := func(s string, big bool) string {
		var b strings.Builder
		for _, c := range []byte(s) {
			if big {
				b.Write([]byte{0, c})
			} else {
				b.Write([]byte{c, 0})
			}
		}
		return b.String()
	}
	const text = "ply\nformat ascii 1.0\nelement vertex 1\n"
	tests := []struct{ name, content, says string }{
		{"a.ply", "", "the file is empty"},
		{"a.xyz.gz", string(packed(t, nil)), "the file is empty"},
		{"a.ply", "\xff\xfe" + wide(text, false), "UTF-16"},
		{"a.stl", "\xfe\xff" + wide(text, true), "UTF-16"},
		{"a.obj", wide("v 1 2 3\nv 4 5 6\n", false), "UTF-16"},
		{"a.xyz", "\xff\xfe\x00\x00", "UTF-32"},
		{"a.ply", "PK\x03\x04", "ZIP"},
		{"a.ply", "\xfd7zXZ\x00", "xz"},
		{"a.ply.gz", string(packed(t, packed(t, []byte(text)))), "twice"},
		{"a.ply", "1 2 3\n4 5 6\n", "does not begin with a line"},
		{"a.pcd", "1 2 3\n4 5 6\n", "does not begin with the header"},
		{"a.e57", "1 2 3\n4 5 6\n", "does not begin with ASTM-E57"},
		{"a.bin", "\x01\x02\x03\x00\x04", "binary data"},
		{"a.stl", "1 2 3\n4 5 6\n", "a binary STL file has 84"},
	}
	for _, tt := range tests {
		wantFault(t, []byte(tt.content), tt.name, tt.says)
	}
}
