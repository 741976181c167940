package quantity

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// Conversions between decimal units are arithmetic; 1 in = 25.4 mm exactly:
// NIST SP 811 (2008), appendix B.8.
func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		um              float64
	}{
		{"0.057 mm", "0.057 mm", 57}, // 0.057*1000 in float64 is 57.00000000000001
		{"29.9990 mm", "29.999 mm", 29999},
		{"2.6m", "2.6 m", 2.6e6},
		{"25 um", "25 µm", 25},
		{"25 \u03bcm", "25 µm", 25},
		{"25\u00a0µm", "25 µm", 25},
		{"  25 \t µm  ", "25 µm", 25},
		{"-0.003 mm", "-0.003 mm", -3},
		{"\u22123 µm", "-3 µm", -3},
		{"+3 µm", "3 µm", 3},
		{"-0 mm", "0 mm", 0},
		{"1.5E+3 nm", "1500 nm", 1.5},
		{"1e-9 km", "1e-9 km", 1},
		{"0.000001 m", "0.000001 m", 1},
		{"1000000000000000 nm", "1000000000000000 nm", 1e12},
		{"10000000000000000 nm", "1e16 nm", 1e13},
		{".5 cm", "0.5 cm", 5000},
		{"5. cm", "5 cm", 50000},
		{"1 in", "1 in", 25400},
		{"0.001 in", "0.001 in", 25.4},
		{"1.234567890123456789 in", "1.234567890123456789 in", 31358.0244091358024406},
		{"0007.5000 mm", "7.5 mm", 7500},
		{"1200 mm", "1200 mm", 1.2e6},
		{"1.0000000000000000000000 mm", "1 mm", 1000},
		{"9007199254740993 nm", "9007199254740993 nm", 9007199254740.993},
	} {
		l, err := ParseLength(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got := l.Micrometres(); got != c.um {
			t.Errorf("%q: %v µm, want %v", c.text, got, c.um)
		}
		if got := l.String(); got != c.canonical {
			t.Errorf("%q: prints %q, want %q", c.text, got, c.canonical)
		}
		roundTrip(t, ParseLength, c.text)
	}
}

func TestParseLengthRefuses(t *testing.T) {
	checkFaults(t, ParseLength, []fault{
		{"25", "25", "without a unit", `write the unit: "25 µm"`},
		{"25 ", "25", "without a unit", `"25 µm"`},
		{"", "", "the text is empty, expected a number", "begin with a number"},
		{"mm", "mm", "expected a number", "begin with a number"},
		{"25 MM", "MM", `"MM", expected a unit of length`, `write "25 mm"`},
		{"25 Mm", "Mm", "unit of length", `write "25 mm"`},
		{"25 microns", "microns", "unit of length", `write "25 µm"`},
		{`2 "`, `"`, "unit of length", `write "2 in"`},
		{"25 kg", "kg", "unit of length", "write one of nm, µm"},
		{"25 °C", "°C", "unit of length", "write one of nm, µm"},
		{"0,5 mm", ",", "decimal comma", `"0.5"`},
		{"1,234 mm", ",", "a comma within the number", `"1.234" or "1234"`},
		{"1 234 mm", " ", "thousands separator", `"1234"`},
		{"1'234 mm", "'", "thousands separator", `"1234"`},
		{"1_2 mm", "_", "thousands separator", `"12"`},
		{"1.2.3 mm", ".", "second decimal point", "leave out"},
		{"NaN mm", "NaN", "finite number", "leave the whole value out"},
		{"-inf mm", "-inf", "finite number", "leave the whole value out"},
		{"1e100 mm", "1e100", "from 1e-100 to 1e100", "exponent"},
		{"1e-101 mm", "1e-101", "from 1e-100 to 1e100", "exponent"},
		{"1e99999999999999999999 m", "1e99999999999999999999", "from 1e-100", "exponent"},
		{"1.23456789012345678901 mm", "1.23456789012345678901", "21 digits", "leave out the digits"},
		{"99999999999999999999 nm", "99999999999999999999", "20 digits", "leave out the digits"},
		{"25 mm long", "long", "after the length", "leave out"},
		{"25 mm2", "2", "after the length", "leave out"},
		{"5 e mm", "e", "unit of length", "write one of"},
		{"--5 mm", "-", "expected a number", "begin with a number"},
	})
}

// Each accessor gives the float64 nearest to the written decimal number:
// compared with big.Rat.
func TestLengthIsRoundedOnce(t *testing.T) {
	inMicrometres := map[string]string{"nm": "1/1000", "µm": "1", "mm": "1000", "cm": "10000", "m": "1000000", "km": "1000000000", "in": "25400"}
	rapid.Check(t, func(t *rapid.T) {
		digits := rapid.Uint64Range(0, 9999999999999999999).Draw(t, "digits")
		exp := rapid.IntRange(-60, 60).Draw(t, "exp")
		symbol := rapid.SampledFrom([]string{"nm", "µm", "mm", "cm", "m", "km", "in"}).Draw(t, "unit")
		written := fmt.Sprintf("%de%d", digits, exp)
		l, err := ParseLength(written + " " + symbol)
		if err != nil {
			t.Fatal(err)
		}
		exact, _ := new(big.Rat).SetString(written)
		per, _ := new(big.Rat).SetString(inMicrometres[symbol])
		exact.Mul(exact, per)
		for _, c := range []struct {
			got float64
			per int64
		}{{l.Micrometres(), 1}, {l.Millimetres(), 1000}, {l.Metres(), 1000000}} {
			want, _ := new(big.Rat).Quo(exact, big.NewRat(c.per, 1)).Float64()
			if c.got != want {
				t.Fatalf("%s: %v, want %v (per %d)", l, c.got, want, c.per)
			}
		}
	})
}

func TestLengthFromAFigureKeepsIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e99, 1e99).Draw(t, "x")
		if got := Millimetres(x).Millimetres(); got != x && math.Abs(x) >= 1e-100 {
			t.Fatalf("%v became %v", x, got)
		}
	})
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e100} {
		if l := Metres(x); !l.IsZero() || l.String() != "" || !math.IsNaN(l.Metres()) {
			t.Errorf("%v became %q", x, l)
		}
	}
	if got := Micrometres(0.1).String(); got != "0.1 µm" {
		t.Errorf("0.1 µm prints %q", got)
	}
}

func TestLengthCompare(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"1 m", "1000 mm", 0}, {"1 in", "25.4 mm", 0}, {"999 µm", "1 mm", -1}, {"-1 m", "-1 km", 1}} {
		a, errA := ParseLength(c.a)
		b, errB := ParseLength(c.b)
		if errA != nil || errB != nil || a.Compare(b) != c.want || b.Compare(a) != -c.want {
			t.Errorf("%s against %s: %d, want %d", a, b, a.Compare(b), c.want)
		}
	}
	if (Length{}).Compare(Metres(-1)) != -1 {
		t.Error("a length that is not stated does not come first")
	}
}

func FuzzLength(f *testing.F) {
	for _, s := range []string{"0.057 mm", "1e-9 km", "1.5 in", "1,5 mm", "-3.25e-7um", "1\u00a0000 mm", "9999999999999999999e80 in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseLength, text) })
}

// FuzzNumber compares with strconv on what both call a number.
func FuzzNumber(f *testing.F) {
	for _, s := range []string{"0.057", "1e-9", "-12.50", "00.1e+3", "1e23", "9007199254740993"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c := cursor{text: text}
		n, err := c.number()
		if err != nil || !c.atEnd() {
			return
		}
		want, wrong := strconv.ParseFloat(text, 64)
		if wrong == nil && n.float() != want {
			t.Fatalf("%q: %v, strconv says %v", text, n.float(), want)
		}
	})
}
