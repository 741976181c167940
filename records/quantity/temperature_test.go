package quantity

import (
	"math"
	"testing"
)

// 0 °C = 273.15 K: SI Brochure (9th edition) 2.3.1.
func TestParseTemperature(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		celsius         float64
	}{
		{"21.4 °C", "21.4 °C", 21.4},
		{"21.4degC", "21.4 °C", 21.4},
		{"21.4 ℃", "21.4 °C", 21.4},
		{"20.0 °C", "20 °C", 20},
		{"294.55 K", "294.55 K", 21.4}, // 294.55-273.15 in float64 is 21.400000000000034
		{"273.15 K", "273.15 K", 0},
		{"0 K", "0 K", -273.15},
		{"-273.15 °C", "-273.15 °C", -273.15},
		{"0 °C", "0 °C", 0},
		{"1e-90 K", "1e-90 K", -273.15},
	} {
		temperature, err := ParseTemperature(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got := temperature.Celsius(); got != c.celsius || temperature.String() != c.canonical {
			t.Errorf("%q: %v °C, prints %q; want %v, %q", c.text, got, temperature, c.celsius, c.canonical)
		}
		roundTrip(t, ParseTemperature, c.text)
	}
	checkFaults(t, ParseTemperature, []fault{
		{"-273.16 °C", "-273.16 °C", "absolute zero", "sign"},
		{"-0.1 K", "-0.1 K", "absolute zero", "sign"},
		{"-273.15000000000001 °C", "-273.15000000000001 °C", "absolute zero", "sign"},
		{"-1e30 °C", "-1e30 °C", "absolute zero", "sign"},
		{"21.4", "21.4", "without a unit", `"21.4 °C"`},
		{"21.4 C", "C", "unit of temperature", `"21.4 °C"`},
		{"21.4 º", "º", "unit of temperature", `"21.4 °C"`},
		{"70 °F", "°F", "unit of temperature", "write one of °C or K"},
		{"294 k", "k", "unit of temperature", `"294 K"`},
		{"150 mK", "mK", "unit of temperature", "write one of °C or K"},
		{"21,4 °C", ",", "decimal comma", `"21.4"`},
		{"21.4 °C in air", "in air", "after the temperature", "leave out"},
	})
}

func TestCelsiusRefusesWhatIsNoTemperature(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), -273.2} {
		if !Celsius(x).IsZero() || !math.IsNaN(Celsius(x).Celsius()) {
			t.Errorf("%v °C became %q", x, Celsius(x))
		}
	}
	if got := Celsius(21.4); got.Celsius() != 21.4 || got.IsZero() || got.String() != "21.4 °C" {
		t.Errorf("21.4 became %q", got)
	}
}

func TestParseTemperatureDifference(t *testing.T) {
	for _, c := range []struct {
		text, canonical string
		kelvin          float64
	}{
		{"0.3 °C", "0.3 °C", 0.3},
		{"0.3 degC", "0.3 °C", 0.3},
		{"-1.5 K", "-1.5 K", -1.5},
		{"150 mK", "150 mK", 0.15},
	} {
		d, err := ParseTemperatureDifference(c.text)
		if err != nil || d.Kelvin() != c.kelvin || d.String() != c.canonical {
			t.Errorf("%q: %v K, prints %q, %v; want %v, %q", c.text, d.Kelvin(), d, err, c.kelvin, c.canonical)
		}
		roundTrip(t, ParseTemperatureDifference, c.text)
	}
	checkFaults(t, ParseTemperatureDifference, []fault{
		{"0.3", "0.3", "without a unit", `"0.3 K"`},
		{"0.3 MK", "MK", "temperature difference", `"0.3 mK"`},
		{"0.3 mm", "mm", "temperature difference", "write one of K, mK or °C"},
		{"0.3 K?", "?", "after the temperature difference", "leave out"},
	})
	if !math.IsNaN((TemperatureDifference{}).Kelvin()) {
		t.Error("a difference that is not stated has a figure")
	}
}

func FuzzTemperature(f *testing.F) {
	for _, s := range []string{"21.4 °C", "294.55 K", "-273.15 degC", "1e-50 K", "21,4 °C", "20º"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		roundTrip(t, ParseTemperature, text)
		roundTrip(t, ParseTemperatureDifference, text)
	})
}
