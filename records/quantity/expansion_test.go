package quantity

import (
	"math"
	"testing"
)

func TestParseExpansion(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		perKelvin       float64
	}{
		{"11.5e-6/K", "11.5e-6/K", 11.5e-6},
		{"11.5e-6 /K", "11.5e-6/K", 11.5e-6},
		{"11.5e-6 / K", "11.5e-6/K", 11.5e-6},
		{"11.5e-6 1/K", "11.5e-6/K", 11.5e-6},
		{"11.5e-6 K^-1", "11.5e-6/K", 11.5e-6},
		{"11.5e-6 K⁻¹", "11.5e-6/K", 11.5e-6},
		{"1.15e-5/°C", "11.5e-6/K", 11.5e-6},
		{"11.5 ppm/K", "11.5e-6/K", 11.5e-6},
		{"11.5 µm/(m·K)", "11.5e-6/K", 11.5e-6},
		{"11.5 um/(m*K)", "11.5e-6/K", 11.5e-6},
		{"11.5 \u03bcm/( m K )", "11.5e-6/K", 11.5e-6},
		{"11.5 µm/m/K", "11.5e-6/K", 11.5e-6},
		{"20 nm/(m·K)", "0.02e-6/K", 2e-8},
		{"-0.5e-6/K", "-0.5e-6/K", -0.5e-6},
		{"0/K", "0/K", 0},
		{"2.5e-13/K", "2.5e-13/K", 2.5e-13},
		{"1e-3/K", "1000e-6/K", 1e-3},
	} {
		x, err := ParseExpansion(c.text)
		if err != nil || x.PerKelvin() != c.perKelvin || x.String() != c.canonical {
			t.Errorf("%q: %v /K, prints %q, %v; want %v, %q", c.text, x.PerKelvin(), x, err, c.perKelvin, c.canonical)
		}
		roundTrip(t, ParseExpansion, c.text)
	}
	checkFaults(t, ParseExpansion, []fault{
		{"11.5e-6", "11.5e-6", "without a unit", `"11.5e-6/K"`},
		{"11.5/K", "11.5/K", "between 1e-15 and 1e-3", "power of ten"},
		{"1.1e-3/K", "1.1e-3/K", "between 1e-15 and 1e-3", "power of ten"},
		{"11.5e-61/K", "11.5e-61/K", "between 1e-15 and 1e-3", "power of ten"}, // 11.5e-6 and 1/K without a blank
		{"11.5 ppm", "ppm", "unit of thermal expansion", `"11.5 ppm/K"`},
		{"11.5 µm/(mK)", "µm/(mK)", "unit of thermal expansion", "µm/(m·K)"},
		{"11.5 µm/(m·K", "µm/(m·K", "unit of thermal expansion", "µm/(m·K)"},
		{"11.5 µm/m", "µm/m", "unit of thermal expansion", "µm/(m·K)"},
		{"11,5e-6/K", ",", "decimal comma", `"11.5"`},
		{"11.5e-6/K or so", "or so", "after the coefficient", "leave out"},
		{"steel", "steel", "expected a number", "begin with a number"},
	})
}

func TestPerKelvin(t *testing.T) {
	if x := PerKelvin(23.1e-6); x.PerKelvin() != 23.1e-6 || x.String() != "23.1e-6/K" {
		t.Errorf("23.1e-6 became %q", x)
	}
	if x := PerKelvin(1e-40); x.IsZero() || x.PerKelvin() != 0 {
		t.Errorf("1e-40 became %q", x)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 11.5} {
		if x := PerKelvin(bad); !x.IsZero() || !math.IsNaN(x.PerKelvin()) {
			t.Errorf("%v became %q", bad, x)
		}
	}
}

func FuzzExpansion(f *testing.F) {
	for _, s := range []string{"11.5e-6/K", "11.5 ppm/K", "11.5 µm/(m·K)", "0.5 um/m/°C", "1e-13 1/K", "11.5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseExpansion, text) })
}
