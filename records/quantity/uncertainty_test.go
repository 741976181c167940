package quantity

import (
	"math"
	"testing"
)

// Divisors: JCGM 100:2008 4.3.3 (stated k), 4.3.7 (rectangular, a/√3), 4.3.9
// (triangular, a/√6); JCGM 101:2008 6.4.6 (arcsine, a/√2).
func TestParseLengthUncertainty(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		text, canonical   string
		standard, freedom float64
	}{
		{"0.6 µm (k = 2)", "0.6 µm (k = 2)", 0.3, inf},
		{"0.6um(k=2)", "0.6 µm (k = 2)", 0.3, inf},
		{"U = 0.6 µm (k = 2)", "0.6 µm (k = 2)", 0.3, inf},
		{"±0.6 µm (k = 2)", "0.6 µm (k = 2)", 0.3, inf},
		{"0.6 µm (k = 2.1, ν = 12)", "0.6 µm (k = 2.1, ν = 12)", 0.6 / 2.1, 12},
		{"0.6 µm (dof = 12; k = 2.10)", "0.6 µm (k = 2.1, ν = 12)", 0.6 / 2.1, 12},
		{"0.6 µm (k = 2, ν = ∞)", "0.6 µm (k = 2)", 0.3, inf},
		{"±0.5 µm (rectangular)", "±0.5 µm (rectangular)", 0.5 / math.Sqrt(3), inf},
		{"+/-0.5 um (rectangular)", "±0.5 µm (rectangular)", 0.5 / math.Sqrt(3), inf},
		{"0.5 µm (triangular)", "±0.5 µm (triangular)", 0.5 / math.Sqrt(6), inf},
		{"± 0.5 µm (u-shaped)", "±0.5 µm (u-shaped)", 0.5 / math.Sqrt2, inf},
		{"±0.5 µm (arcsine)", "±0.5 µm (u-shaped)", 0.5 / math.Sqrt2, inf},
		{"±0.5 µm (rectangular, ν = 8)", "±0.5 µm (rectangular, ν = 8)", 0.5 / math.Sqrt(3), 8},
		{"u = 0.3 µm", "u = 0.3 µm", 0.3, inf},
		{"u=0.0003 mm (dof = 9.5)", "u = 0.0003 mm (ν = 9.5)", 0.3, 9.5},
		{"u = 0 µm", "u = 0 µm", 0, inf},
		{"0 µm (k = 2)", "0 µm (k = 2)", 0, inf},
	} {
		u, err := ParseLengthUncertainty(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(u.Standard()-c.standard) > 1e-15 || u.DegreesOfFreedom() != c.freedom || u.String() != c.canonical {
			t.Errorf("%q: u %v, ν %v, prints %q; want %v, %v, %q", c.text, u.Standard(), u.DegreesOfFreedom(), u, c.standard, c.freedom, c.canonical)
		}
		roundTrip(t, ParseLengthUncertainty, c.text)
	}
}

func TestUncertaintyOfOtherQuantities(t *testing.T) {
	k, err := ParseTemperatureUncertainty("300 mK (k = 2)")
	if err != nil || k.Standard() != 0.15 || k.String() != "300 mK (k = 2)" {
		t.Errorf("%v K, %q, %v", k.Standard(), k, err)
	}
	// ISO 3650:1998 6.2.2: (11.5 ± 1.0)e-6 /K for steel gauge blocks.
	a, err := ParseExpansionUncertainty("±1.0e-6/K (rectangular)")
	if err != nil || math.Abs(a.Standard()-1e-6/math.Sqrt(3)) > 1e-21 || a.String() != "±1e-6/K (rectangular)" {
		t.Errorf("%v /K, %q, %v", a.Standard(), a, err)
	}
}

func TestUncertaintyExpanded(t *testing.T) {
	u, err := ParseLengthUncertainty("0.0006 mm (k = 2.1)")
	if err != nil {
		t.Fatal(err)
	}
	if value, k, ok := u.Expanded(); value != 0.6 || k != 2.1 || !ok {
		t.Errorf("got %v, %v, %v", value, k, ok)
	}
	if u, err = ParseLengthUncertainty("u = 0.3 µm"); err != nil {
		t.Fatal(err)
	}
	if value, k, ok := u.Expanded(); value != 0 || k != 0 || ok {
		t.Errorf("a standard uncertainty was expanded: %v, %v, %v", value, k, ok)
	}
	var none LengthUncertainty
	if !none.IsZero() || !math.IsNaN(none.Standard()) || none.String() != "" {
		t.Errorf("not stated: %v, %q", none.Standard(), none)
	}
}

func TestParseUncertaintyRefuses(t *testing.T) {
	checkFaults(t, ParseLengthUncertainty, []fault{
		{"0.6 µm", "0.6 µm", "does not say what kind", `"0.6 µm (k = 2)", "±0.6 µm (rectangular)" (or triangular, u-shaped), "u = 0.6 µm"`},
		{"±0.6 µm", "0.6 µm", "does not say what kind", `"u = 0.6 µm"`},
		{"U = 0.6 µm", "0.6 µm", "does not say what kind", `"0.6 µm (k = 2)"`},
		{"0.6 µm (ν = 5)", "0.6 µm", "does not say what kind", `"0.6 µm (k = 2)"`},
		{"0.6 (k = 2)", "0.6", "without a unit", `"0.6 µm"`},
		{"-0.6 µm (k = 2)", "-0.6 µm", "below zero", "minus sign"},
		{"0.6 µm (k = 0)", "0", "a coverage factor above zero", "above zero"},
		{"0.6 µm (k = -2)", "-2", "a coverage factor above zero", "above zero"},
		{"0.6 µm (k 2)", "2", "= and a coverage factor", "equals sign"},
		{"0.6 µm (k = 2,1)", ",", "decimal comma", `"2.1"`},
		{"0.6 µm (k = 2, ν = 0)", "0", "degrees of freedom above zero", "above zero"},
		{"0.6 µm (K = 2)", "K", "expected k = …", "small k"},
		{"0.6 µm (k = 2, nu = 12)", "nu", "expected k = …", "ν or dof"},
		{"0.6 µm (95 %)", "9", "expected k = …", "(k = 2)"},
		{"±0.6 µm (uniform)", "uniform", "expected k = …", `"rectangular"`},
		{"±0.6 µm (u)", "u", "expected k = …", `"u-shaped"`},
		{"±0.6 µm (normal)", "normal", "expected k = …", "coverage factor"},
		{"0.6 µm (k = 2", "", "the text ends, expected a comma or the closing bracket", "close the bracket"},
		{"0.6 µm (k = 2 ν = 3)", "ν", "a comma or the closing bracket", "close the bracket"},
		{"0.6 µm (k = 2, k = 3)", "k = 3", "a second time", "leave out one"},
		{"0.6 µm (rectangular, triangular)", "triangular", "a second time", "leave out one"},
		{"0.6 µm (k = 2, rectangular)", " (k = 2, rectangular)", "a coverage factor and a distribution", `"0.6 µm (k = 2)" or "±0.6 µm (rectangular)"`},
		{"u = 0.6 µm (k = 2)", " (k = 2)", "a standard uncertainty with", `"u = 0.6 µm"`},
		{"U = 0.6 µm (rectangular)", " (rectangular)", "a coverage factor", `"±0.6 µm (rectangular)"`},
		{"0.6 µm (k = 2) 95 %", "95 %", "after the uncertainty", "leave out"},
		{"", "", "the text is empty", "begin with a number"},
	})
	checkFaults(t, ParseTemperatureUncertainty, []fault{
		{"0.3 mm (k = 2)", "mm", "temperature difference", "K, mK or °C"},
	})
	checkFaults(t, ParseExpansionUncertainty, []fault{
		{"1 (rectangular)", "1", "without a unit", `"11.5e-6/K"`},
		{"1e-6/K", "1e-6/K", "does not say what kind", `"±1e-6/K (rectangular)"`},
	})
}

func FuzzUncertainty(f *testing.F) {
	for _, s := range []string{
		"0.6 µm (k = 2)", "0.6 µm (k = 2.1, ν = 12)", "±0.5 K (rectangular)", "u = 0.3 mK", "U=1 °C(k=2;dof=∞)",
		"±1e-6/K (u-shaped, ν = 8)", "0.6 µm",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		roundTrip(t, ParseLengthUncertainty, text)
		roundTrip(t, ParseTemperatureUncertainty, text)
		roundTrip(t, ParseExpansionUncertainty, text)
	})
}
