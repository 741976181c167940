package source

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"
)

// TestMistakes lists what people write and what they are told.
func TestMistakes(t *testing.T) {
	tests := []struct{ text, at, message, mend string }{
		{"device = scan-02", "1:10", `"scan-02" is no value`, "put text in double quotes"},
		{"path = 2.6 m", "1:12", `unexpected "m" behind the value`, "put a value with its unit in quotes"},
		{"path = 2.6m", "1:8", `"2.6m" is no value`, "a number with its unit too"},
		{"length = 29,998", "1:12", "a comma in a number", "write the decimal point as a dot"},
		{"length = .5", "1:10", `".5" is no value`, "write a digit before the decimal point"},
		{"length = 5.", "1:10", `"5." is no value`, "write a digit behind the decimal point"},
		{"serial = 0815", "1:10", `number "0815" has a leading zero`, "quote it if it is a name"},
		{"good = True", "1:8", `"True" is no value`, "write it in lower case: true"},
		{"good = yes", "1:8", `"yes" is no value`, "write true or false"},
		{"by = “mk”", "1:6", "is no value", "use straight quotes"},
		{"date = 05.10.2026", "1:8", "is no value", "write dates like 2026-10-05"},
		{"date = 2026-02-29", "1:8", "is no day of the calendar", "correct"},
		{"time = 2016-12-31T23:59:60Z", "1:8", "is no time of a day", "seconds to 59"},
		{"device: x", "1:7", "a colon behind the key where = was expected", "write key = value"},
		{"größe = 1", "1:3", "a bare key has only", "double quotes"},
		{"by = \"mk\nb = 1", "1:6", `text without a closing " on its line`, "close it"},
		{"a = 1\nvalues = [1, 2\nb = 3\n", "3:1", `unexpected "b" in an array`, "close with ]"},
		{"a = [1, 2\n", "1:5", "not closed before the end of the file", "close it with ]"},
		{"a = \"\"\"x\n", "1:5", "not closed before the end of the file", `close it with """`},
		{`file = "C:\scans"`, "1:11", `unknown escape \s`, `write \\ for a backslash`},
		{"[reading", "1:9", "the line ends inside a table header", "close the header with ]"},
		{"[[reading]", "1:11", "the line ends inside a table header", "]]"},
		{"a =", "1:4", "the line ends where a value was expected", "behind the equals sign"},
		{"= 1", "1:1", "no key before the equals sign", "write key = value"},
		{"a.b = 1\n[a]", "2:2", `"a" is given twice: first on line 1`, "keep one"},
		{"a = {}\n[a.b]", "2:2", `"a" is complete since line 1`, "move the entry"},
		{"[a.b.c]\n[a]\nb.x = 1\n[a.b]", "4:4", `"b" is given twice`, "keep one"},
		{"\"\\U00000061\" = 1\na = 2", "2:1", `"a" is given twice`, "keep one"},
		{"[[a]]\n[a]", "2:2", `"a" is given twice`, "keep one"},
		{"a = 1\n\na.b = 2", "3:1", `"a" is complete since line 1`, "move the entry"},
	}
	for _, test := range tests {
		fault := mustRefuse(t, test.text)
		if fault.Pos.String() != test.at || !strings.Contains(fault.Message, test.message) || !strings.Contains(fault.Mend, test.mend) {
			t.Errorf("%q:\ngot  %v: %s\nwant %s: …%s… …%s…", test.text, fault, fault.Mend, test.at, test.message, test.mend)
		}
		if want := test.at + ": " + fault.Message; fault.Error() != want {
			t.Errorf("%q, want %q", fault.Error(), want)
		}
	}
}

func TestReasons(t *testing.T) {
	utf16Text := func(order binary.AppendByteOrder, text string) string {
		var b []byte
		for _, unit := range utf16.Encode([]rune(text)) {
			b = order.AppendUint16(b, unit)
		}
		return string(b)
	}
	deep := strings.Repeat("[", 65)
	tests := []struct {
		name, text string
		reason     Reason
		offset     int
	}{
		{"latin 1", "a = 1\nb = \"21.4 \xb0C\"\n", NotUTF8, 16},
		{"cut rune", "a = \"\xc2", NotUTF8, 5},
		{"UTF-16 with mark", "\xff\xfe" + utf16Text(binary.LittleEndian, "a = 1\n"), UTF16, 0},
		{"UTF-16 with mark, big end first", "\xfe\xff" + utf16Text(binary.BigEndian, "a = 1\n"), UTF16, 0},
		{"UTF-16 without mark", utf16Text(binary.LittleEndian, "device = 1\n"), UTF16, 0},
		{"UTF-16 without mark, big end first", utf16Text(binary.BigEndian, "device = 1\n"), UTF16, 0},
		{"NUL", "a = 1\nb = \x00\n", ControlCharacter, 10},
		{"NUL at the end", "a = 1\n\x00", ControlCharacter, 6},
		{"bell in text", "a = \"x\x07\"", ControlCharacter, 6},
		{"delete in a comment", "# \x7f", ControlCharacter, 2},
		{"lone carriage return", "a = 1\rb = 2\n", ControlCharacter, 5},
		{"lone carriage return in a comment", "# x\ry\n", ControlCharacter, 3},
		{"lone carriage return in long text", "a = '''x\ry'''", ControlCharacter, 8},
		{"conflict", "a = 1\n<<<<<<< HEAD\nb = 2\n=======\nb = 3\n>>>>>>> topic\n", MergeConflict, 6},
		{"conflict in an array", "a = [\n||||||| base\n1]\n", MergeConflict, 6},
		{"conflict after a fault", "a = = 1\n<<<<<<< HEAD\n", MergeConflict, 8},
		{"conflict in a note", "a = \"\"\"\r\n>>>>>>> topic\r\n\"\"\"", MergeConflict, 9},
		{"only the middle mark is left", "a = 1\n=======\nb = 2\n", MergeConflict, 6},
		{"a heading in a note", "a = '''\n=======\n'''\nb = =\n", Syntax, 24},
		{"deep", "a = " + deep, TooDeep, 4 + 64},
		{"deep key", strings.Repeat("a.", 64) + "a = 1", TooDeep, 128},
		{"many", "a = [" + strings.Repeat("1,", maxNodes) + "]", TooLarge, 5 + 2*(maxNodes-2)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			fault := mustRefuse(t, test.text)
			if fault.Reason != test.reason || fault.Offset != test.offset || fault.Mend == "" {
				t.Errorf("%v at %d, want %v at %d: %v (%s)", fault.Reason, fault.Offset, test.reason, test.offset, fault, fault.Mend)
			}
		})
	}
	var parser Parser
	if _, fault := parser.Parse(make([]byte, maxBytes+1)); fault == nil || fault.Reason != TooLarge || fault.Pos != (Position{1, 1}) {
		t.Errorf("64 MiB and a byte: %v", fault)
	}
}

// TestAllowed holds what lies just inside the limits.
func TestAllowed(t *testing.T) {
	mustParse(t, "a = "+strings.Repeat("[", 64)+strings.Repeat("]", 64))
	mustParse(t, strings.Repeat("a.", 63)+"a = 1")
	mustParse(t, "a = ["+strings.Repeat("[[1], {b = [2]}],", 100)+"]")
	mustParse(t, "[a.b.c]\n[a]\nb.x = 1\nb.y.z = 2\n[a.b.y.w]\n")
	mustParse(t, "a = \"\"\"\nheading\n=======\n\"\"\"\nb = '<<<<<<< '\n# <<<<<<< \n")
}

// TestLineEnds also reads one text after the other: nothing is left over.
func TestLineEnds(t *testing.T) {
	var parser Parser
	for text, want := range map[string]bool{
		"a = 1\r\n": true, "a = 1\n": false, "b = [ # x\r\n1]\n": true, "c = '''\r\n'''\n": true, "": false, "c = '''\n'''\n": false,
	} {
		for _, text := range []string{text, "a = [[\r\n", text} {
			doc, fault := parser.Parse([]byte(text))
			if fault == nil && doc.HasCRLF != want {
				t.Errorf("%q: %v", text, doc.HasCRLF)
			}
		}
	}
}

// TestManyKeys goes beyond the table size that is searched one by one.
func TestManyKeys(t *testing.T) {
	var text strings.Builder
	for i := range 300 {
		text.WriteString("k" + strings.Repeat("x", i) + " = 1\n")
	}
	mustParse(t, text.String()+"[sub]\nk = 1\n")
	fault := mustRefuse(t, text.String()+"kxx = 2\n")
	if fault.Reason != DuplicateKey || !strings.Contains(fault.Message, "line 3") || fault.Pos.Line != 301 {
		t.Errorf("%+v", fault)
	}
	var parser Parser // the index of one text is not the next one's
	if _, fault := parser.Parse([]byte(text.String())); fault != nil {
		t.Fatal(fault)
	}
	if _, fault := parser.Parse([]byte(text.String())); fault != nil {
		t.Fatal(fault)
	}
}
