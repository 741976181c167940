package quantity

import (
	"math"
	"testing"
)

// 1 % = 0.01, 1 ‰ = 0.001: arithmetic; the blank before the sign is that of the SI Brochure (9th edition), 5.4.7 (from memory).
func TestParseShare(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		fraction        float64
	}{
		{"46 %", "46 %", 0.46},
		{"46%", "46 %", 0.46},
		{"3 ‰", "3 ‰", 0.003},
		{"0.3 %", "0.3 %", 0.003},
		{"0 %", "0 %", 0},
		{"100.0 %", "100 %", 1},
		{"1000 ‰", "1000 ‰", 1},
		{"1e-3 %", "0.001 %", 1e-5},
	} {
		s, err := ParseShare(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if s.Fraction() != c.fraction {
			t.Errorf("%q: %v, want %v", c.text, s.Fraction(), c.fraction)
		}
		if s.String() != c.canonical {
			t.Errorf("%q prints %q, want %q", c.text, s, c.canonical)
		}
		roundTrip(t, ParseShare, c.text)
	}
	checkFaults(t, ParseShare, []fault{
		{"46", "46", "without a unit", `"46 %"`},
		{"46 percent", "percent", "unit of shares", `"46 %"`},
		{"3 permille", "permille", "unit of shares", `"3 ‰"`},
		{"-1 %", "-1 %", "below zero", "minus"},
		{"101 %", "101 %", "more than the whole", "decimal point"},
		{"1001 ‰", "1001 ‰", "more than the whole", "decimal point"},
		{"46 % of it", "of it", "after the share", "leave out"},
	})
	if !math.IsNaN(Share{}.Fraction()) || (Share{}).String() != "" {
		t.Error("a share that is not stated has a figure")
	}
}

func TestFraction(t *testing.T) {
	for want, x := range map[string]float64{"46 %": 0.46, "0.3 %": 0.003, "0 %": 0, "100 %": 1, "": 1.001} {
		if got := Fraction(x).String(); got != want {
			t.Errorf("%v: got %q, want %q", x, got, want)
		}
	}
	for _, x := range []float64{-1e-9, math.NaN(), math.Inf(1)} {
		if s := Fraction(x); !s.IsZero() {
			t.Errorf("%v gives %v", x, s)
		}
	}
}

func FuzzShare(f *testing.F) {
	for _, s := range []string{"46 %", "3‰", "100 %", "0.3 percent", "1e-99 %"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseShare, text) })
}
