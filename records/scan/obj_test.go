package scan_test

import (
	"slices"
	"strings"
	"testing"
)

func TestOBJ(t *testing.T) {
	tests := []struct {
		text   string
		xyz    []float64
		facets int64
		warn   string
	}{
		{"v 1 2 3\nv 4 5 6\nf 1 2 1\n", []float64{1, 2, 3, 4, 5, 6}, 1, ""},
		{"# by hand\n\no part\nv 1 2 3 # the first\nvn 0 0 1\nvt 0 0\nusemtl v\n v\t4\t5\t6\r\nf 1//1 2//1 1//1\nf 1 2 1 2\n", []float64{1, 2, 3, 4, 5, 6}, 2, ""},
		{"v 1 2 3 1\nv 4 5 6 1.0\n", []float64{1, 2, 3, 4, 5, 6}, 0, ""},
		{"v 1 2 3 0.5\nv 4 5 6 1.0\n", []float64{1, 2, 3, 4, 5, 6}, 0, "1 vertex with a fourth coordinate other than 1"},
		{"v 1 2 3 255 0 128\nv 4 5 6 0.1 0.2 0.3 1\n", []float64{1, 2, 3, 4, 5, 6}, 0, ""},
		{"v 1 \\\n 2 \\\n3\nv 4 5 6\n", []float64{1, 2, 3, 4, 5, 6}, 0, ""},
		{"v 1 2 3\nv nan 5 6\n", []float64{1, 2, 3}, 0, "the first is vertex 1, counted from 0"},
		{"v 1 2 3\nv 4 5 6", []float64{1, 2, 3, 4, 5, 6}, 0, "no line end"},
	}
	for _, tt := range tests {
		for _, name := range []string{"a.obj", "scan"} { // known by its words as well
			r := mustRead(t, []byte(tt.text), name)
			if !slices.Equal(r.xyz, tt.xyz) || r.weight != nil || r.tally.Facets != tt.facets || r.head.Format != "OBJ" {
				t.Errorf("%q: %v, %+v, %+v", tt.text, r.xyz, r.head, r.tally)
			}
			if len(r.tally.Warnings) > 0 != (tt.warn != "") {
				t.Errorf("%q: warnings %q", tt.text, r.tally.Warnings)
			}
			wantWords(t, "warnings", strings.Join(r.tally.Warnings, " "), tt.warn)
		}
	}
}

func TestOBJFaults(t *testing.T) {
	for text, says := range map[string]string{
		"vn 0 0 1\n":                           "the file has no vertices",
		"# nothing\n":                          "the file has no vertices",
		"v 1 2 3\nv 1 2\n":                     "line 2: the vertex has 2 values",
		"v 1 2 3\nv 1 2 # 3\n":                 "line 2: the vertex has 2 values",
		"v 1 2 3 4 5 6 7 8\n":                  "line 1: the vertex has 8 values",
		"v 1 2 3\nv 1,5 2,5 3,5\n":             `"1,5" is not a number; write the numbers with decimal points`,
		"v 1 2 3\nv 1 2 \\":                    "line 2: the line is to be continued, but is the last",
		"v 1 2 3\nv 1 2 x\nv 1 2 y":            `line 2: "x" is not a number`,
		"v " + strings.Repeat("1 \\\n", 1<<16): "the statement continued here is longer than",
		"v " + strings.Repeat("1 ", 1<<16):     "line 1: the line is longer than",
	} {
		wantFault(t, []byte(text), "a.obj", says)
	}
}
