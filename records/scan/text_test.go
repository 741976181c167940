package scan_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Ways to write the two points 1.5 -2 3e2 and 4 5.25 -0.125.
func TestTextVariants(t *testing.T) {
	t.Parallel()
	const rows = "1.5 -2 3e2\n4 5.25 -0.125\n"
	for _, c := range []struct{ name, content, format, unit string }{
		{"a.xyz", rows, "3 columns separated by blanks", ""},
		{"a.xyz", "  1.5\t -2   3e2  \n\n4 5.25 -0.125", "3 columns separated by blanks", ""},
		{"a.asc", "\xef\xbb\xbf" + rows, "3 columns separated by blanks", ""},
		{"a.txt", strings.ReplaceAll(rows, "\n", "\r\n"), "3 columns separated by blanks", ""},
		{"a.txt", strings.ReplaceAll(rows, "\n", "\r"), "3 columns separated by blanks", ""},
		{"a", "1.5\t-2\t3e2\n4\t5.25\t-0.125\n", "3 columns separated by tabs", ""},
		{"a.csv", "1.5,-2,3e2\n4,5.25,-0.125\n", "3 columns separated by commas", ""},
		{"a.csv", "1.5, -2, 3e2\n4 ,5.25 , -0.125\n", "3 columns separated by commas", ""},
		{"a.csv", "1.5,-2,3e2,left side\n4,5.25,-0.125,\"a, b\"\n", "4 columns separated by commas", ""},
		{"a.csv", "1.5;-2;3e2;\n4;5.25;-0.125;\n", "3 columns separated by semicolons", ""},
		{"a.csv", "1.5;-2;3e2;0.5\n4;5.25;-0.125;\n", "4 columns separated by semicolons", ""},
		{"a.csv", "\"x\",\"y\",\"z\"\n\"1.5\",\"-2\",\"3e2\"\n\"4\",\"5.25\",\"-0.125\"\n", "3 columns separated by commas", ""},
		{"a.csv", "X;Y;Z;nx;ny;nz\n1.5;-2;3e2;0;0;1\n4;5.25;-0.125;0;0;1\n", "6 columns separated by semicolons", ""},
		{"a.csv", "z,label,y,x\n3e2,a b,-2,1.5\n-0.125,#c,5.25,4\n", "4 columns separated by commas", ""},
		{"a.txt", "number x y z\n1 1.5 -2 3e2\n2 4 5.25 -0.125\n", "4 columns separated by blanks", ""},
		{"a.txt", "label x y z\n# 9 9 9\nP1 1.5 -2 3e2\n// a 9 9 9\nP2 4 5.25 -0.125\n", "4 columns separated by blanks", ""},
		{"a.txt", "//X Y Z\n" + rows, "3 columns separated by blanks", ""},
		{"a.txt", "# z y x\n3e2 -2 1.5\n-0.125 5.25 4\n", "3 columns separated by blanks", ""},
		{"a.txt", "# the coordinates x y z follow\n# x y z of points\n" + rows, "3 columns separated by blanks", ""},
		{"a.txt", "// made by hand\n#\n" + rows + "# the end\n", "3 columns separated by blanks", ""},
		{"a.txt", "x [mm] y [mm] z [mm]\n" + rows, "3 columns separated by blanks", "mm"},
		{"a.txt", "x[m]\ty[m]\tz[m]\n1.5\t-2\t3e2\n4\t5.25\t-0.125\n", "3 columns separated by tabs", "m"},
		{"a.csv", "X (µm),Y (\u03bcm),Z (µm)\n1.5,-2,3e2\n4,5.25,-0.125\n", "", "-"},
		{"a.csv", "X (um),Y (um),Z (um)\n1.5,-2,3e2\n4,5.25,-0.125\n", "3 columns separated by commas", "µm"},
		{"a.csv", "x/in;y/in;z/in\n1.5;-2;3e2\n4;5.25;-0.125\n", "3 columns separated by semicolons", "in"},
		{"a.csv", "x/mm;y;z\n1.5;-2;3e2\n4;5.25;-0.125\n", "3 columns separated by semicolons", ""},
		{"a.txt", "#x[cm] y[cm] z[cm] intensity[-]\n1.5 -2 3e2 7\n4 5.25 -0.125 8\n", "4 columns separated by blanks", "cm"},
		{"a.pts", "2\n" + rows, "3 columns separated by blanks", ""},
		{"a.pts", "x y z\n2\n" + rows, "3 columns separated by blanks", ""},
		{"a.pts", "# a cloud\n2\nx y z\n" + rows, "3 columns separated by blanks", ""},
		{"a.pts", "1\n1.5 -2 3e2 7\n 1 \n4 5.25 -0.125 8\n0\n", "4 columns separated by blanks", ""},
		{"a.pts", "0\n1\n1.5 -2 3e2 7\n1\n4 5.25 -0.125 8\n", "", "-"},
	} {
		if c.unit == "-" { // refused
			if _, err := readBytes([]byte(c.content), c.name, 1); err == nil {
				t.Errorf("%q was read", c.content)
			}
			continue
		}
		r, err := readBytes([]byte(c.content), c.name, 1)
		if err != nil {
			t.Errorf("%q: %v", c.content, err)
			continue
		}
		if len(r.xyz) != 6 || r.point(0) != [3]float64{1.5, -2, 300} || r.point(1) != [3]float64{4, 5.25, -0.125} {
			t.Errorf("%q: %v", c.content, r.xyz)
		}
		if r.head.Format != "text, "+c.format || r.head.Unit != c.unit || r.tally.Step != 1 {
			t.Errorf("%q: %+v, step %g", c.content, r.head, r.tally.Step)
		}
		unfinished := c.content[len(c.content)-1] > '\r'
		if (len(r.tally.Warnings) > 0) != unfinished {
			t.Errorf("%q: warnings %q", c.content, r.tally.Warnings)
		}
	}
}

func TestTextRefused(t *testing.T) {
	t.Parallel()
	const numbered = "1 0.5 0.5 0.5\n2 0.5 0.5 0.5\n3 0.5 0.5 0.5\n"
	for _, c := range []struct {
		name, content string
		words         []string
	}{
		{"a.xyz", "\n# nothing\n\n", []string{"nothing to measure", "no points"}},
		{"a.pts", "0\n", []string{"nothing to measure"}},
		{"a.pts", "5\n# 012345678901234567890123456789\n", []string{"5 points announced, but nothing follows", "line 1"}},
		{"a.xyz", "1 2\n3 4\n", []string{"the line has 2 columns, but x, y and z are needed", "line 1"}},
		{"a.xyz", "1.5\n2.5\n", []string{"the line has 1 column,"}},
		{"a.xyz", "1\n2\n3\n", []string{"number stands alone, as on line 1", "line 2"}},
		{"a.txt", "Dear colleague, please find the scan attached.\nRegards\n", []string{"neither coordinates nor the names", "PLY, STL, OBJ, PCD and E57", "line 1"}},
		{"a.toml", "# a record\nkind = \"bar\"\nvalue = 3\n", []string{"neither coordinates nor the names", "line 2"}},
		{"a.bin", "\x89\x50\x4e\x47\x0d\x0a\x1a\x0a\x01\x02", []string{"neither coordinates nor the names"}},
		{"a.bin", "\x7fELF\x02\x01\x01\x03", []string{"binary data"}},
		{"a.csv", "east;north;height\n1;2;3\n", []string{"neither coordinates nor the names of columns x, y and z"}},
		{"a.csv", "x;y;z\n1;2;3;4\n", []string{"the row has 4 columns, line 1 names 3", "line 2"}},
		{"a.csv", "x;y;z\nx;y;z\n1;2;3\n", []string{"named a second time, after line 1", "line 2"}},
		{"a.csv", "x;y;z;x\n1;2;3;4\n", []string{"neither coordinates nor the names"}},
		{"a.csv", "x/mm;y/mm;z/m\n1;2;3\n", []string{`x, y and z are in "mm", "mm" and "m"`, "line 1"}},
		{"a.csv", "x/ell;y/ell;z/ell\n1;2;3\n", []string{`"ell", which is no unit known here`}},
		{"a.txt", "# points x y z\n1 2 3 4\n", []string{"cannot be told whether the comment names the columns", "number 2 of 4", "line 1"}},
		{"a.txt", "P1 1.5 2.5 3.5\n", []string{`x, in column 1, is "P1", which is no number`}},
		{"a.txt", numbered, []string{"first column seems to number the points"}},
		{"a.csv", "100,2802,61,1436,30,0370\n90,3356,44,3569,10,0122\n", []string{"separate columns or are decimal commas"}},
		{"a.csv", "1,5;2,5;3,5\n", []string{"decimal commas"}},
		{"a.csv", "x;y;z\n1,5;2,5;3,5\n", []string{"decimal commas", "line 2"}},
		{"a.xyz", "1.5\t2.5\t3.5\n1,5\t2,5\t3,5\n", []string{"decimal commas", "line 2"}},
		{"a.xyz", "1 2 3\n1 2,5 3\n", []string{"decimal commas", "line 2"}},
		{"a.xyz", "1 2 3\n4 5 6\n7 8\n", []string{"the line has 2 columns where line 1 has 3", "line 3"}},
		{"a.xyz", "1 2 3\n4 5 6 7\n", []string{"the line has 4 columns where line 1 has 3", "line 2"}},
		{"a.xyz", "1 2 3\n4 5 6x\n", []string{`z, in column 3, is "6x", which is no number`, "line 2"}},
		{"a.csv", "1;2;3\n4;;6\n", []string{`y, in column 2, is "", which is no number`, "line 2"}},
		{"a.xyz", "1 2 3\n7\n", []string{"the line has 1 column where line 1 has 3"}},
		{"a.pts", "3\n1 2 3\n4 5 6\n", []string{"3 points announced, 2 follow", "line 1"}},
		{"a.pts", "1\n1 2 3\n4 5 6\n", []string{"1 point announced, 2 follow", "line 1"}},
		{"a.pts", "1\n1 2 3\n2\n4 5 6\n1\n7 8 9\n", []string{"2 points announced, 1 follows", "line 3"}},
		{"a.pts", "1\n1 2 3\n4 5 6\n1\n7 8 9\n1 2\n", []string{"1 point announced, 2 follow", "line 1"}},
		{"a.pts", "2\n1 2 3\n7 8\n", []string{"the line has 2 columns", "line 3"}},
		{"a.pts", "4000000000\n1 2 3\n", []string{"4000000000 points announced, a file of 17 bytes has room for 3 at most"}},
		{"a.pts", "99999999999999999999999\n1 2 3\n", []string{"announced, a file of 30 bytes"}},
	} {
		wantFault(t, []byte(c.content), c.name, c.words...)
	}
}

// Sentences and positions laid down with the files.
func TestTextMalformed(t *testing.T) {
	t.Parallel()
	wantFault(t, testdata(t, "points/xyz-decimal-comma.xyz"), "xyz-decimal-comma.xyz", "decimal commas", "decimal points", "line 1")
	wantFault(t, testdata(t, "points/xyz-ragged.xyz"), "xyz-ragged.xyz", "5 columns where line 1 has 3", "line 21")
	wantFault(t, []byte(strings.Repeat("12.3456 -7.8901 4.5 ", 13000)), "huge-line.xyz", "line 1", "longer than 65536 bytes")
	wantFault(t, []byte("1 2 3\n"+strings.Repeat("12.3456 -7.8901 4.5 ", 13000)), "huge-line.xyz", "line 2", "longer than 65536 bytes")
}

func TestTextNotFinite(t *testing.T) {
	t.Parallel()
	r := mustRead(t, []byte("1 2 3\nnan nan nan\n4 5 6\n-inf 1 2\n1e999 1 2\n"), "a.xyz")
	if len(r.xyz) != 6 || r.tally.NonFinite != 3 || r.tally.FirstNonFinite != 1 || len(r.tally.Warnings) != 1 {
		t.Errorf("%v %+v", r.xyz, r.tally)
	}
	wantFault(t, []byte("nan nan nan\n"), "a.xyz", "nothing to measure", "finite")
}

// TestTextRoundTrip writes long texts in many ways; they span several blocks, and the rows with counts lie anywhere in them.
func TestTextRoundTrip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.IntRange(1, 6000).Draw(t, "rows")
		delimiter := rapid.SampledFrom([]string{" ", "\t", ",", ";", ", "}).Draw(t, "delimiter")
		eol := rapid.SampledFrom([]string{"\n", "\r\n", "\r"}).Draw(t, "line end")
		verb := rapid.SampledFrom([]byte("fge")).Draw(t, "verb")
		digits := rapid.IntRange(3, 17).Draw(t, "digits")
		more := rapid.SampledFrom([]string{"", "1.5 0.5 255", "a"}).Draw(t, "more")
		each := rapid.SampledFrom([]int{0, 0, 1, 7, 2500}).Draw(t, "rows a count")
		seed := rapid.Float64Range(0.1, 10).Draw(t, "seed")
		var b strings.Builder
		var want []float64
		for i := range rows {
			if each > 0 && i%each == 0 {
				fmt.Fprintf(&b, "%d%s", min(each, rows-i), eol)
			}
			for axis := range 3 {
				text := strconv.FormatFloat(seed*float64(i)*float64(axis*axis)-300.3, verb, digits, 64)
				v, err := strconv.ParseFloat(text, 64)
				if err != nil {
					t.Fatal(err)
				}
				want = append(want, v)
				b.WriteString(text)
				if axis < 2 {
					b.WriteString(delimiter)
				}
			}
			for word := range strings.FieldsSeq(more) {
				b.WriteString(delimiter + word)
			}
			b.WriteString(eol)
		}
		for _, workers := range []int{1, 4} {
			r, err := readBytes([]byte(b.String()), "a.txt", workers)
			if err != nil {
				t.Fatal(err)
			}
			if len(r.xyz) != len(want) {
				t.Fatalf("%d points, want %d", len(r.xyz)/3, rows)
			}
			for i := range want {
				if r.xyz[i] != want[i] {
					t.Fatalf("coordinate %d: %g, want %g", i, r.xyz[i], want[i])
				}
			}
		}
	})
}

// TestTextFaultsInOrder puts several faults into a long text: the first is told, whoever is quickest.
func TestTextFaultsInOrder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lines := make([]string, 40000)
		lines[0] = strconv.Itoa(len(lines) - 1)
		for i := range lines[1:] {
			lines[i+1] = "12.5 13.5 14.5"
		}
		first := len(lines)
		for range rapid.IntRange(1, 5).Draw(t, "faults") {
			at := rapid.IntRange(2, len(lines)-1).Draw(t, "line")
			lines[at] = rapid.SampledFrom([]string{"1 2", "1 2 3 4", "1 2 x"}).Draw(t, "fault")
			first = min(first, at)
		}
		for _, workers := range []int{1, 4} {
			_, err := readBytes([]byte(strings.Join(lines, "\n")), "a.pts", workers)
			if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("line %d:", first+1)) {
				t.Fatalf("%v, want one on line %d", err, first+1)
			}
		}
	})
}
