package scan

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// same holds a parsed numeral against the standard library, the outside reference here.
func same(t interface{ Fatalf(string, ...any) }, token string) {
	want, err := strconv.ParseFloat(token, 64)
	if err != nil && !strings.Contains(err.Error(), "out of range") {
		t.Fatalf("%q is no numeral for the standard library: %v", token, err)
	}
	got, ok := parseFloat([]byte(token + "99.9e9")[:len(token)]) // what lies behind is nobody's business
	if !ok || math.Float64bits(got) != math.Float64bits(want) {
		t.Fatalf("%q: %v (%x) %v, want %v (%x)", token, got, math.Float64bits(got), ok, want, math.Float64bits(want))
	}
	var d digits
	if noted, ok := d.parse([]byte(token)); !ok || math.Float64bits(noted) != math.Float64bits(want) {
		t.Fatalf("%q: %v when noted", token, noted)
	}
}

func TestParseFloatAsStandardLibrary(t *testing.T) {
	t.Parallel()
	for _, token := range []string{
		"0", "-0", "+0.0", "1", "-1.5", ".5", "5.", "-325.6106038489", "400.123456789012", "1e5", "1E-5", "1.e+2",
		"12345678.12345678", "0.12345678", "0.123456789012345678", "9007199254740993", "9007199254740992.5",
		"9007199254740993.00000000000000000000001", "8.41800000000000015e-01", "1.7976931348623157e308", "1e309", "-1e400",
		"4.9e-324", "2.2250738585072011e-308", "1e-400", "0e999999999999", "1e-9999999999999999999",
		"18446744073709551615", "18446744073709551616", "99999999999999999999999999e-20", "0.00000000000000000000001234",
		"000000000000000000000000000000001.25", "1" + strings.Repeat("0", 60), "0." + strings.Repeat("0", 60) + "1",
		"7205759403792793.49999999999999999999999999999999999999999999", "7205759403792793.5000000000000000",
		"1.00000000000000011102230246251565404236316680908203125",  // halfway between 1 and its neighbour
		"1.00000000000000011102230246251565404236316680908203124",  // just below
		"1.000000000000000111022302462515654042363166809082031251", // just above
		// Their first 64 bits lie halfway, what follows decides.
		"9100747242961593939e16", "5161847302798290642e13", "1092218943508702508e17", "8284293148817703636e13",
		"268647517209405683e-22", "4921516820825562001e-9", "7094889738555176392e-7", "8350025632831367970e-9",
	} {
		same(t, token)
	}
}

func TestParseFloatProperty(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		v := math.Float64frombits(rapid.Uint64().Draw(t, "bits"))
		if math.IsNaN(v) || math.IsInf(v, 0) {
			v = 1
		}
		form := rapid.SampledFrom([]byte("efg")).Draw(t, "form")
		same(t, strconv.FormatFloat(v, form, rapid.IntRange(-1, 25).Draw(t, "digits"), 64))
	})
	rapid.Check(t, func(t *rapid.T) {
		same(t, rapid.StringMatching(`[-+]?[0-9]{1,25}(\.[0-9]{0,25})?([eE][-+]?[0-9]{1,2})?`).Draw(t, "token"))
	})
}

// TestScaledNeedsNoHelp walks the exact paths, which leave nothing to the standard library.
func TestScaledNeedsNoHelp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mantissa, power := rapid.Uint64().Draw(t, "mantissa"), rapid.IntRange(-maxFive, maxFive).Draw(t, "power")
		got, ok := scaled(mantissa, power)
		want, err := strconv.ParseFloat(fmt.Sprintf("%de%d", mantissa, power), 64)
		if !ok || err != nil || got != want {
			t.Fatalf("%de%d: %v, want %v, %v", mantissa, power, got, want, err)
		}
	})
}

func TestParseFloatNotFinite(t *testing.T) {
	t.Parallel()
	for token, want := range map[string]float64{
		"nan": math.NaN(), "NaN": math.NaN(), "-nan": math.NaN(), "+NAN": math.NaN(), "-nan(ind)": math.NaN(), "nan(0x7)": math.NaN(),
		"1.#QNAN": math.NaN(), "-1.#IND": math.NaN(), "-1.#IND000": math.NaN(), "1.#SNAN0": math.NaN(),
		"inf": math.Inf(1), "-Inf": math.Inf(-1), "+infinity": math.Inf(1), "1.#INF": math.Inf(1), "-1.#INF00": math.Inf(-1),
	} {
		got, ok := parseFloat([]byte(token))
		if !ok || math.Float64bits(got) != math.Float64bits(want) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Errorf("%q: %v %v, want %v", token, got, ok, want)
		}
	}
}

func TestParseFloatRefuses(t *testing.T) {
	t.Parallel()
	for _, token := range []string{
		"", "-", "+", ".", "-.", "e5", ".e5", "1e", "1e+", "1e5.", "1.2.3", "1,5", "1_000", "0x1p4", "0b1", "--1", "+-1", "1 ", " 1",
		"1a", "12345678.12345678x", "nano", "nan(", "infinite", "infinityandmore", "1.#", "1.#FOO", "1.2#INF", "½", "1e5e5", "x",
	} {
		if v, ok := parseFloat([]byte(token)); ok {
			t.Errorf("%q was read as %v", token, v)
		}
		var d digits
		if v, ok := d.parse([]byte(token)); ok {
			t.Errorf("%q was read as %v when noted", token, v)
		}
	}
}

func TestParseFloatAllocates(t *testing.T) {
	tokens := [][]byte{[]byte("-325.6106038489"), []byte("1.234567890123456789e+02"), []byte("0.1234567890123456789012345678901234567"), []byte("nan")}
	if n := testing.AllocsPerRun(100, func() {
		for _, token := range tokens {
			if _, ok := parseFloat(token); !ok {
				t.Fatal(string(token))
			}
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func FuzzParseFloat(f *testing.F) {
	for _, s := range []string{"1.5", "-1e-7", "nan", "123456789012345678901234567890", "0x10", "1_0", "Infinity", "1.e", "-.5E+3"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, token []byte) {
		got, ok := parseFloat(token)
		want, err := strconv.ParseFloat(string(token), 64)
		switch {
		case ok && (math.IsNaN(got) || math.IsInf(got, 0)):
			// Words for these go beyond the standard library's.
		case bytes.ContainsAny(token, "_xX"):
			if ok {
				t.Fatalf("%q was read as %v", token, got)
			}
		case err == nil != ok || ok && math.Float64bits(got) != math.Float64bits(want):
			t.Fatalf("%q: %v %v, want %v %v", token, got, ok, want, err)
		}
	})
}

func BenchmarkParseFloat(b *testing.B) {
	for _, form := range []struct {
		name   string
		verb   byte
		digits int
	}{{"fixed 6", 'f', 6}, {"fixed 10", 'f', 10}, {"general 6", 'g', 6}, {"shortest", 'g', -1}, {"exponent 18", 'e', 18}} {
		var text []byte // tokens are words of a text, as files have them
		var tokens [][]byte
		for i := range 1024 {
			text = append(strconv.AppendFloat(text, 450*math.Sin(float64(i)), form.verb, form.digits, 64), ' ')
		}
		for rest := text; len(rest) > 0; {
			n := bytes.IndexByte(rest, ' ')
			tokens, rest = append(tokens, rest[:n]), rest[n+1:]
		}
		run := func(name string, parse func([]byte) (float64, bool)) {
			b.Run(form.name+"/"+name, func(b *testing.B) {
				sum := 0.0
				for i := 0; b.Loop(); i++ {
					v, _ := parse(tokens[i%1024])
					sum += v
				}
				if math.IsNaN(sum) {
					b.Fatal("no sum")
				}
			})
		}
		run("ours", parseFloat)
		var d digits
		run("ours noted", d.parse)
		run("strconv", func(token []byte) (float64, bool) {
			v, err := strconv.ParseFloat(string(token), 64)
			return v, err == nil
		})
	}
}
