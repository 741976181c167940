package source

import (
	"math"
	"strings"
	"testing"
	"time"
)

// The traps below were each met in a TOML library; here each has its test.

func mustParse(t *testing.T, text string) *Document {
	t.Helper()
	var parser Parser
	doc, fault := parser.Parse([]byte(text))
	if fault != nil {
		t.Fatalf("refused: %v\n%s", fault, Excerpt(text, fault.Offset))
	}
	if err := CrossCheck([]byte(text), doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

func mustRefuse(t *testing.T, text string) *SyntaxError {
	t.Helper()
	var parser Parser
	_, fault := parser.Parse([]byte(text))
	if fault == nil {
		t.Fatalf("accepted:\n%s", text)
	}
	return fault
}

// TestSecondOfThreeReadings: positions belong to the element, not to the name.
func TestSecondOfThreeReadings(t *testing.T) {
	doc := mustParse(t, "[[reading]]\nfeature = \"A\"\n[[reading]]\nfeature = \"B\"\nvalues = [\n  1.0,\n  2.0,\n]\n[[reading]]\nfeature = \"C\"\n")
	readings, ok := doc.Root().Child("reading")
	if !ok || readings.Len() != 3 {
		t.Fatalf("%d readings", readings.Len())
	}
	var got []string
	for reading := range readings.Elements() {
		got = append(got, reading.Path()+" "+doc.PositionOf(reading.ValueOffset()).String()+" "+
			doc.PositionOf(reading.KeyOffset()).String()+" "+reading.Source()+" "+reading.Key())
		feature, _ := reading.Child("feature")
		got = append(got, feature.Path()+" "+doc.PositionOf(feature.KeyOffset()).String()+" "+
			doc.PositionOf(feature.ValueOffset()).String())
		if values, ok := reading.Child("values"); ok {
			for value := range values.Elements() {
				got = append(got, value.Path()+" "+doc.PositionOf(value.ValueOffset()).String())
			}
		}
	}
	want := []string{
		"reading[0] 1:1 1:3 [[reading]] reading", "reading[0].feature 2:1 2:11",
		"reading[1] 3:1 3:3 [[reading]] reading", "reading[1].feature 4:1 4:11",
		"reading[1].values[0] 6:3", "reading[1].values[1] 7:3",
		"reading[2] 9:1 9:3 [[reading]] reading", "reading[2].feature 10:1 10:11",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestDuplicateInFirstColumn(t *testing.T) {
	for _, mark := range []string{"", byteOrderMark} {
		fault := mustRefuse(t, mark+"device = \"a\"\ndevice = \"b\"\n")
		if fault.Reason != DuplicateKey || fault.Pos != (Position{2, 1}) || fault.Offset != len(mark)+13 {
			t.Errorf("%+v", fault)
		}
		if want := `"device" is given twice: first on line 1`; fault.Message != want {
			t.Errorf("%q, want %q", fault.Message, want)
		}
	}
}

func TestByteOrderMark(t *testing.T) {
	doc := mustParse(t, byteOrderMark+"a = 1\n")
	a, ok := doc.Root().Child("a")
	if !doc.HasBOM || !ok || doc.PositionOf(a.KeyOffset()) != (Position{1, 1}) || a.KeyOffset() != 3 {
		t.Errorf("mark %v, a at %d", doc.HasBOM, a.KeyOffset())
	}
	if mustParse(t, "a = 1\n").HasBOM {
		t.Error("a mark where there is none")
	}
	if fault := mustRefuse(t, byteOrderMark+"a = \n"); fault.Pos != (Position{1, 5}) {
		t.Errorf("%v", fault)
	}
}

func TestKeysKeepCase(t *testing.T) {
	doc := mustParse(t, "DEVICE = 1\ndevice = 2\n")
	upper, _ := doc.Root().Child("DEVICE")
	lower, _ := doc.Root().Child("device")
	if _, ok := doc.Root().Child("Device"); ok || upper.Source() != "1" || lower.Source() != "2" {
		t.Errorf("%s %s", upper.Source(), lower.Source())
	}
}

// TestNumbersAreExact: no detour over %f, and the written resolution is kept.
func TestNumbersAreExact(t *testing.T) {
	tests := []struct {
		written string
		want    float64
		ok      bool
	}{
		{"1.5e-7", 1.5e-7, true},
		{"29.99901234", 29.99901234, true},
		{"29.9990", 29.999, true},
		{"+1_000.5", 1000.5, true},
		{"30", 30, true},
		{"9007199254740992", 1 << 53, true},
		{"9007199254740993", 0, false},
		{"-9007199254740993", 0, false},
		{"0xFF", 255, true},
		{"-inf", math.Inf(-1), true},
		{"1e-400", 0, true},
		{"'30'", 0, false},
	}
	for _, test := range tests {
		value, _ := mustParse(t, "v = "+test.written).Root().Child("v")
		got, ok := value.Float()
		if got != test.want || ok != test.ok || value.Source() != test.written {
			t.Errorf("%s: %v %v, source %s", test.written, got, ok, value.Source())
		}
	}
	for _, written := range []string{"nan", "+nan", "-nan"} {
		value, _ := mustParse(t, "v = "+written).Root().Child("v")
		if got, ok := value.Float(); !ok || !math.IsNaN(got) {
			t.Errorf("%s: %v %v", written, got, ok)
		}
	}
	for _, written := range []string{"1e400", "-1e400", "9223372036854775808", "0x8000000000000000"} {
		if fault := mustRefuse(t, "v = "+written); fault.Reason != Syntax || fault.Offset != 4 {
			t.Errorf("%s: %+v", written, fault)
		}
	}
	lowest, _ := mustParse(t, "v = -9223372036854775808").Root().Child("v")
	if got, ok := lowest.Integer(); !ok || got != math.MinInt64 {
		t.Errorf("%d %v", got, ok)
	}
}

// TestLocalTimesAreNoInstants: nothing depends on the machine's zone.
func TestLocalTimesAreNoInstants(t *testing.T) {
	doc := mustParse(t, "date = 2026-10-05\nmoment = 2026-10-05T08:12:00\nclock = 08:12:00\n"+
		"utc = 2026-10-05T08:12:00Z\nzone = 2026-10-05 08:12:00.5+02:00\n")
	for child := range doc.Root().Children() {
		at, isInstant := child.Instant()
		year, month, day, isDate := child.LocalDate()
		switch child.Key() {
		case "date":
			if isInstant || !isDate || year != 2026 || month != time.October || day != 5 {
				t.Errorf("%s: %v %v %d %v %d", child.Key(), isInstant, isDate, year, month, day)
			}
		case "moment", "clock":
			if isInstant || isDate {
				t.Errorf("%s: instant %v, date %v", child.Key(), isInstant, isDate)
			}
		case "utc":
			if !isInstant || at.Location() != time.UTC || at.Format(time.RFC3339) != "2026-10-05T08:12:00Z" {
				t.Errorf("%v", at)
			}
		case "zone":
			if !isInstant || at.Format(time.RFC3339Nano) != "2026-10-05T08:12:00.5+02:00" || at.Location() == time.Local {
				t.Errorf("%v", at)
			}
		}
	}
}

// TestForms11: each addition of TOML 1.1 is recognised, placed and mended.
func TestForms11(t *testing.T) {
	tests := []struct{ text, at string }{
		{"t = 08:12", "1:5"},
		{"t = 2026-10-05T08:12Z", "1:5"},
		{"t = {\n a = 1 }", "1:6"},
		{"t = { a = 1 # one\n}", "1:13"},
		{"t = { a = 1, }", "1:12"},
		{`s = "\e[0m"`, "1:6"},
		{`s = "a\x41"`, "1:7"},
	}
	for _, test := range tests {
		fault := mustRefuse(t, test.text)
		if fault.Reason != NeedsTOML11 || fault.Pos.String() != test.at || fault.Mend == "" {
			t.Errorf("%s: %v %+v", test.text, fault.Reason, fault)
		}
	}
	fault := mustRefuse(t, byteOrderMark+"t = { a = 1, }\nb = =\n")
	if fault.Reason != Syntax || fault.Pos != (Position{2, 5}) {
		t.Errorf("a fault in both versions: %v %+v", fault.Reason, fault)
	}
}
