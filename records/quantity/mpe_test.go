package quantity

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func mustMPE(tb testing.TB, text string) MPE {
	tb.Helper()
	m, err := ParseMPE(text)
	if err != nil {
		tb.Fatalf("%q: %v", text, err)
	}
	return m
}

// Forms: ISO 10360-1:2000 and ISO 10360-2:2009, ±min(A + L/K, B), ±(A + L/K),
// ±B with A and B in µm and L in mm. The figures are those forms worked out by
// hand.
func TestMPEAt(t *testing.T) {
	for _, c := range []struct {
		mpe, length string
		um          float64
	}{
		{"(25 + L/20) µm", "800 mm", 65},
		{"(25 + L/20) µm", "2600 mm", 155},
		{"25 µm + 50 µm/m", "800 mm", 65},
		{"25 µm + 50 µm/m", "2.6 m", 155},
		{"min(25 µm + 50 µm/m, 120 µm)", "2600 mm", 120},
		{"min((25 + L/20) µm, 120 µm)", "2600 mm", 120},
		{"min((2.5 + L/300) µm, 5 µm)", "600 mm", 4.5},
		{"min((2.5 + L/300) µm, 5 µm)", "900 mm", 5},
		{"30 µm", "123 mm", 30},
		{"20 µm + 40 µm/m", "3.8 m", 172},
		{"20 µm + 40 µm/m", "0.65 m", 46},
		{"50 µm/m", "0 mm", 0},
		{"50 µm/m", "1 in", 1.27},
		{"0.025 mm + 0.05 mm/m", "0.8 m", 65},
		{"25 µm + 0.05 µm/mm", "0.8 m", 65},
		{"0.001 in + 50 µm/m", "1 m", 75.4},
		{"0.1 µm + 0.2 µm/m", "1 m", 0.3}, // 0.1+0.2 in float64 is 0.30000000000000004
		{"(2.5 + L/300) µm", "400 mm", 2.5 + 4.0/3},
	} {
		length, err := ParseLength(c.length)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := mustMPE(t, c.mpe).At(length); err != nil || got != c.um {
			t.Errorf("%s at %s: %v µm, %v; want %v", c.mpe, c.length, got, err, c.um)
		}
	}
}

func TestMPEAtNeedsTheLengthItCounts(t *testing.T) {
	for _, length := range []Length{{}, Millimetres(-1)} {
		if um, err := mustMPE(t, "25 µm + 50 µm/m").At(length); !errors.Is(err, ErrLengthNeeded) {
			t.Errorf("at %q: %v, %v", length, um, err)
		}
		if um, err := mustMPE(t, "30 µm").At(length); um != 30 || err != nil {
			t.Errorf("a constant at %q: %v, %v", length, um, err)
		}
	}
	if um, err := (MPE{}).At(Metres(1)); !errors.Is(err, ErrNoMPE) {
		t.Errorf("not stated: %v, %v", um, err)
	}
}

func TestMPEParts(t *testing.T) {
	for _, c := range []struct {
		text, canonical, constant string
		slope                     float64
		bound                     string
		grows                     bool
	}{
		{"30 µm", "30 µm", "30 µm", 0, "", false},
		{"± 0.030 mm", "0.03 mm", "0.03 mm", 0, "", false},
		{"25 um+50 um/m", "25 µm + 50 µm/m", "25 µm", 50, "", true},
		{"25 µm + 50 µm/m·L", "25 µm + 50 µm/m", "25 µm", 50, "", true},
		{"25 µm + 50 µm/m * L", "25 µm + 50 µm/m", "25 µm", 50, "", true},
		{"±(25 µm + 50 µm/m)", "25 µm + 50 µm/m", "25 µm", 50, "", true},
		{"0.025 mm + 0.05 mm/m", "0.025 mm + 0.05 mm/m", "0.025 mm", 50, "", true},
		{"0.05 µm/mm", "0.05 µm/mm", "0 µm", 50, "", true},
		{"0 µm + 50 µm/m", "50 µm/m", "0 µm", 50, "", true},
		{"25 µm + 0 µm/m", "25 µm", "25 µm", 0, "", false},
		{"±( 25+L / 20 )um", "(25 + L/20) µm", "25 µm", 50, "", true},
		{"(L/20) µm", "(L/20) µm", "0 µm", 50, "", true},
		{"(0 + L/20) µm", "(L/20) µm", "0 µm", 50, "", true},
		{"±min(25 µm + 50 µm/m, 120 µm)", "min(25 µm + 50 µm/m, 120 µm)", "25 µm", 50, "120 µm", true},
		{"min(120 µm,(25 + L/20) µm)", "min((25 + L/20) µm, 120 µm)", "25 µm", 50, "120 µm", true},
	} {
		m := mustMPE(t, c.text)
		bound, ok := m.Bound()
		if m.String() != c.canonical || m.Constant().String() != c.constant || m.SlopePerMetre() != c.slope ||
			bound.String() != c.bound || ok != (c.bound != "") || m.GrowsWithLength() != c.grows {
			t.Errorf("%q: prints %q, constant %s, slope %v, bound %q %v, grows %v", c.text, m, m.Constant(), m.SlopePerMetre(), bound, ok, m.GrowsWithLength())
		}
		roundTrip(t, ParseMPE, c.text)
	}
}

func TestParseMPERefuses(t *testing.T) {
	checkFaults(t, ParseMPE, []fault{
		{"", "", "the text is empty", "begin with a number"},
		{"30", "30", "without a unit", `"30 µm"`},
		{"30 microns", "microns", "unit of length", `"30 µm"`},
		{"0 µm", "0 µm", "above zero", "data sheet"},
		{"0 µm + 0 µm/m", "0 µm + 0 µm/m", "above zero", "data sheet"},
		{"-25 µm + 50 µm/m", "-25", "a part of zero or more", "minus sign"},
		{"25 µm + -50 µm/m", "-50", "a part of zero or more", "minus sign"},
		{"25 µm - 50 µm/m", "- 50 µm/m", "after the maximum permissible error", "leave out"},
		{"25 µm + 50 µm", "50 µm", "as the growing part", `"50 µm/m"`},
		{"25 µm + 50", "50", "a length per length", `"50 µm/m"`},
		{"25 µm + 50 ppm", "ppm", "a length per length", `"50 µm/m"`},
		{"25 µm + 50 µm/km2", "2", "after the maximum permissible error", "leave out"},
		{"25 µm + 50 µm/in", "in", "decimal units", `"50 µm/m"`},
		{"25 µm + 0.002 in/m", "0.002 in/m", "decimal units", `"50 µm/m"`},
		{"0.002 in/m", "0.002 in/m", "decimal units", `"50 µm/m"`},
		{"25 µm + 50 µm/K", "K", "decimal units", `"50 µm/m"`},
		{"25 µm + L/20", "L", "a growing part", `"(25 + L/20) µm"`},
		{"25 + L/20 µm", "25", "without a unit", `brackets around them: "(25 + L/20) µm"`},
		{"(25 + L/0) µm", "0", "above zero", `"(25 + L/20) µm"`},
		{"(25 + L/-20) µm", "-20", "above zero", `"(25 + L/20) µm"`},
		{"(-25 + L/20) µm", "-25", "a part of zero or more", "minus sign"},
		{"(25 + L/20) mm", "mm", "the unit µm", "L in mm"},
		{"(25 + L/20)", "", "the unit µm", "L in mm"},
		{"(25 + L/20 µm", "µm", "the closing bracket", `"(25 + L/20) µm"`},
		{"(25 + 1.5·L/300) µm", "1", "L, the length in mm", `"(25 + L/20) µm"`},
		{"(25) µm", ")", "+ L/K", `"(25 + L/20) µm"`},
		{"(25 µm + 50 µm/m", "", "the closing bracket", "close the bracket"},
		{"min(25 µm + 50 µm/m)", ")", "a comma and the upper bound", "after a comma"},
		{"min(25 µm + 50 µm/m, 120 µm", "", "the closing bracket", "close"},
		{"min 25 µm", "2", "an opening bracket", "min("},
		{"min(30 µm, 20 µm)", "(30 µm, 20 µm)", "one constant bound", "min("},
		{"min(50 µm/m, 20 µm/m)", "(50 µm/m, 20 µm/m)", "one constant bound", "min("},
		{"min(25 µm + 50 µm/m, 25 µm)", "(25 µm + 50 µm/m, 25 µm)", "above the constant part", `"25 µm" alone`},
		{"min(25 µm + 50 µm/m, 0 µm)", "0 µm", "above zero", "data sheet"},
		{"30 µm or so", "or so", "after the maximum permissible error", "leave out"},
		{"2,5 µm", ",", "decimal comma", `"2.5"`},
	})
}

// The value is the float64 nearest to the exact one, by the quick way and by
// the slow one; both spellings of one limit agree; and it never falls with
// the length.
func TestMPEAtIsRoundedOnce(t *testing.T) {
	digits := func(t *rapid.T, label string, high uint64) number {
		return newNumber(rapid.Uint64Range(1, high).Draw(t, label), rapid.IntRange(-4, 1).Draw(t, label+" exponent"), false)
	}
	rapid.Check(t, func(t *rapid.T) {
		high := rapid.SampledFrom([]uint64{100, 100000, math.MaxUint64 / 10}).Draw(t, "size")
		a, b, l := digits(t, "constant", high), digits(t, "slope", high), digits(t, "length", high)
		length := Length{l, millimetre}
		byRat := func(growth *big.Rat) float64 {
			um, _ := growth.Add(growth, a.rat()).Float64()
			return um
		}
		slope := MPE{constant: Length{a, micrometre}, slope: b, over: micrometre, per: metre}
		want := byRat(new(big.Rat).Mul(b.rat(), l.shift(-3).rat()))
		if got, err := slope.At(length); err != nil || got != want {
			t.Fatalf("%s at %s: %v, %v; want %v", slope, length, got, err, want)
		}
		if got := slope.slow(length); got != want {
			t.Fatalf("%s at %s: the slow way gives %v, want %v", slope, length, got, want)
		}
		divisor := MPE{constant: Length{a, micrometre}, divisor: b}
		want = byRat(new(big.Rat).Quo(l.rat(), b.rat()))
		if got, err := divisor.At(length); err != nil || got != want {
			t.Fatalf("%s at %s: %v, %v; want %v", divisor, length, got, err, want)
		}
		longer, _ := divisor.At(Length{newNumber(l.coef+1, int(l.exp), false), millimetre})
		if longer < want {
			t.Fatalf("%s falls after %s", divisor, length)
		}
	})
}

func FuzzMPE(f *testing.F) {
	for _, s := range []string{
		"30 µm", "25 µm + 50 µm/m", "50 um/m*L", "±(25 + L/20) µm", "(L/20) µm", "min(25 µm + 50 µm/m, 120 µm)",
		"min(5 µm, (2.5 + L/300) µm)", "(25 µm + 50 µm/m)", "25 + L/20",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		roundTrip(t, ParseMPE, text)
		m, err := ParseMPE(text)
		if err != nil {
			return
		}
		um, err := m.At(Millimetres(800.015))
		if err != nil || !(um > 0) || math.IsInf(um, 0) {
			t.Fatalf("%q at 800.015 mm: %v, %v", text, um, err)
		}
		if strings.Contains(m.String(), "±") {
			t.Fatalf("%q prints %q", text, m)
		}
	})
}
