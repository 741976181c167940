package main

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestReadColumn(t *testing.T) {
	for name, text := range map[string]string{
		"byte order mark":            "\ufeff\"x\",y\n1.5,2\n-2,3\n",
		"separators inside quotes":   "\"a;b;c\",x\n0,1.5\n0,-2\n",
		"line ends of carriage type": "x\ty\r\n1.5\t0\r\n-2\t0\r\n",
		"blanks around":              " x ;y\n 1.5 ;0\n\t-2;0\n",
		"blank lines and rows":       "\nx,y\n\n1.5,0\n , \n-2,0\n\n",
		"no line end at the end":     "x\n1.5\n-2",
		"quoted line feed before":    "note,x\n\"two\nlines\",1.5\n,-2\n",
	} {
		got, err := env{Stdin: strings.NewReader(text)}.readColumn("-", "x")
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if diff := cmp.Diff([]float64{1.5, -2}, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// Columns count characters, lines count from the top of the file.
func TestReadColumnPlaces(t *testing.T) {
	for text, want := range map[string]string{
		"µ,x\nµµµ,abc\n":                 `standard input:2:5: "abc", expected a number without a unit`,
		"n,x\n\"two\nlines\",abc\n":      `standard input:3:8: "abc", expected a number without a unit`,
		"x\n1\n\n0x10\n":                 `standard input:4:1: "0x10", expected a number without a unit`,
		"x\n1_000\n":                     `standard input:2:1: "1_000", expected a number without a unit`,
		"x\n\u22125\n":                   `standard input:2:1: "−5", expected a number without a unit`,
		"x\n\xb5\n":                      "standard input: bytes that are no UTF-8, expected a text file",
		"x;y\n1;\"2\n":                   "standard input:2:5: a quoted field that does not end where it should, expected a quote and then the next field",
		"x\n" + strings.Repeat("9", 400): "standard input:2:1: " + strings.Repeat("9", 400) + " is beyond what can be reckoned with, expected a number below 1e308 in size",
	} {
		_, err := env{Stdin: strings.NewReader(text)}.readColumn("-", "x")
		if err == nil || err.Error() != want {
			t.Errorf("%q:\n got %v\nwant %s", text, err, want)
		}
	}
}

func FuzzReadColumn(f *testing.F) {
	f.Add("x,y\n1.5,2\n-2,3\n")
	f.Add("\ufeff\"x\";\"a\"\"b\"\r\n1,5;\n")
	f.Fuzz(func(t *testing.T, text string) {
		values, err := env{Stdin: strings.NewReader(text)}.readColumn("-", "x")
		if (err == nil) != (len(values) > 0) {
			t.Errorf("%d values and %v", len(values), err)
		}
	})
}
