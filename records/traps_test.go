package records

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"
)

// TestTraps holds mistakes that readers built on a decoding library make: they
// are told at the right place, or the value is exact.
func TestTraps(t *testing.T) {
	const readings = `[[reading]]
feature = "A"
values = [29.9984, 30.0011, 29.9990]

[[reading]]
feature = "A-C"
values = [800.031]
path = "2.6 m"
`
	for name, c := range map[string]struct {
		old, new string
		want     []string // place, code and a part of the message or remedy, for each diagnostic
	}{
		"type error in the second of three tables": {
			readings, "[[reading]]\nfeature = \"A\"\nvalues = [29.9984, 30.0011, 29.9990]\n[[reading]]\nfeature = 7\nvalues = [800.031]\n[[reading]]\nfeature = \"A-C\"\nvalues = [800.031]\npath = \"2.6 m\"\n",
			[]string{`:17:11: [wrong-type] write it in quotes: "7"`},
		},
		"quantity error in the first of two tables": {
			"values = [29.9984", "path = \"3 furlongs\"\nvalues = [29.9984",
			[]string{`:15:11: [unreadable-quantity] path:`},
		},
		"bad element on the third line of an array": {
			"[29.9984, 30.0011, 29.9990]", "[\n 29.9984,\n true, 29.9990]",
			[]string{`:17:2: [wrong-type] expected a number`},
		},
		"unknown key in the second table":         {"path =", "paht =", []string{`:20:1: [unknown-key] did you mean path?`}},
		"unknown table":                           {"[conditions]", "[condition]", []string{`:9:2: [unknown-key] did you mean conditions?`}},
		"upper case only":                         {"device =", "DEVICE =", []string{`:1:1: [missing-key] key device is missing`, `:1:1: [unknown-key] did you mean device?`}},
		"upper case beside lower case":            {"device =", "DEVICE = \"x\"\ndevice =", []string{`:1:1: [unknown-key] key "DEVICE"`}},
		"duplicate key in the first column":       {"artifact =", "device = \"a\"\nartifact =", []string{`:2:1: [duplicate-key] first on line 1`}},
		"local date-time":                         {"time = 2026-10-05T08:12:00+02:00", "time = 2026-10-05T08:12:00", []string{`:4:8: [wrong-type] add the offset from UTC`}},
		"local date":                              {"time = 2026-10-05T08:12:00+02:00", "time = 2026-10-05", []string{`:4:8: [wrong-type] add the time of day and its offset`}},
		"local time":                              {"time = 2026-10-05T08:12:00+02:00", "time = 08:12:00", []string{`:4:8: [wrong-type] time is a time of day`}},
		"not a number":                            {"30.0011", "nan", []string{`:15:20: [out-of-range] finite`}},
		"beyond any length":                       {"30.0011", "1e11", []string{`:15:20: [out-of-range] beyond any length`}},
		"colder than any shop":                    {`"21.4 °C"`, `"-41 °C"`, []string{`:10:24: [out-of-range] expected -40 °C to 70 °C`}},
		"infinite":                                {"30.0011", "+inf", []string{`:15:20: [out-of-range] finite`}},
		"too large for a decimal number":          {"30.0011", "1e400", []string{`:15:20: [toml-syntax] check the exponent`}},
		"whole number beyond 2^53":                {"30.0011", "9007199254740993", []string{`:15:20: [out-of-range] 2^53`}},
		"seconds left out":                        {"08:12:00+02:00", "08:12+02:00", []string{`:4:8: [toml-1.1] add the seconds`}},
		"trailing comma in an inline table":       {"[conditions]\nartifact-temperature = \"21.4 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n", "conditions = { artifact-temperature = \"21.4 °C\", }\n", []string{`[toml-1.1]`}},
		"inline table":                            {"[conditions]\nartifact-temperature = \"21.4 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n", "conditions = { artifact-temperature = \"21.4 °C\", temperature-uncertainty = \"0.3 °C (k = 2)\" }\n", nil},
		"dotted keys":                             {"[conditions]\nartifact-temperature = \"21.4 °C\"\ntemperature-uncertainty = \"0.3 °C (k = 2)\"\n", "conditions.artifact-temperature = \"21.4 °C\"\nconditions.temperature-uncertainty = \"0.3 °C (k = 2)\"\n", nil},
		"unknown key after a byte order mark":     {"", "\ufeffx = 1\n", []string{`:1:1: [byte-order-mark]`, `:1:1: [unknown-key] key "x"`}},
		"error behind a byte order mark":          {"", "\ufeffnonsense\n", []string{`:1:9: [toml-syntax]`}},
		"unit in the wrong place":                 {`"2.6 m"`, `"m 2.6"`, []string{`:20:9: [unreadable-quantity] path:`}},
		"column counted in characters, not bytes": {`by = "mk"`, "by = \"µµ\" nonsense", []string{`:6:11: [toml-syntax]`}},
	} {
		t.Run(name, func(t *testing.T) {
			files := goodFiles(t)
			text := string(files[checkFile].Data)
			if !strings.Contains(text, c.old) {
				t.Fatalf("%q is not in the check", c.old)
			}
			text = strings.Replace(text, c.old, c.new, 1) // nothing is replaced at the start
			files[checkFile] = &fstest.MapFile{Data: []byte(text)}
			_, found := Load(files, Options{At: evaluated})
			if len(found) != len(c.want) {
				t.Fatalf("got %d diagnostics:\n%s", len(found), printed(found))
			}
			for i, d := range found {
				got := ":" + d.Position.String() + ": [" + d.Code + "] " + d.Message + "; " + d.Mend
				place, part, _ := strings.Cut(c.want[i], "] ")
				if !strings.Contains(got, place) || !strings.Contains(got, part) {
					t.Errorf("got  %s\nwant %s", got, c.want[i])
				}
			}
		})
	}
}

// TestLinesOutOfOrder reads tables that stand between the elements of others.
func TestLinesOutOfOrder(t *testing.T) {
	const file = "certificates/bar-3s/a.toml"
	l := newLoader(fstest.MapFS{file: {Data: []byte("[[value]]\nfeature = \"A\"\n[review]\nby = \"rs\"\n[[value]]\n[attachment]\n[[as-found]]\n")}}, Options{})
	r, _ := l.newReader().read(file).(*Certificate)
	if r.Values[0].Line != 1 || r.Review.Line != 3 || r.Values[1].Line != 5 || r.AsFound[0].Line != 7 {
		t.Errorf("lines %d, %d, %d, %d", r.Values[0].Line, r.Review.Line, r.Values[1].Line, r.AsFound[0].Line)
	}
}

// TestExactValues reads figures that pass through another form on the way in
// some readers.
func TestExactValues(t *testing.T) {
	files := goodFiles(t)
	text := strings.Replace(string(files[checkFile].Data), "[29.9984, 30.0011, 29.9990]", "[1.5e-7, 29.99901234, 30, 0x1E, 3_0.0_1]", 1)
	l := newLoader(fstest.MapFS{checkFile: {Data: []byte(text)}}, Options{CrossCheck: true})
	k, _ := l.newReader().read(checkFile).(*Check)
	if k == nil {
		t.Fatal("not read")
	}
	want := []float64{1.5e-7, 29.99901234, 30, 30, 30.01}
	for i, v := range k.Readings[0].Values {
		if v != want[i] {
			t.Errorf("value %d is %v, want %v", i, v, want[i])
		}
	}
	if at := time.Date(2026, 10, 5, 6, 12, 0, 0, time.UTC); !k.Time.Equal(at) {
		t.Errorf("time is %v", k.Time)
	}
	for i, line := range []int{13, 17} {
		if k.Readings[i].Line != line {
			t.Errorf("reading %d is at line %d, want %d", i, k.Readings[i].Line, line)
		}
	}
}
