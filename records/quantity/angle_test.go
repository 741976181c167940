package quantity

import (
	"math"
	"testing"
)

// 1° = 60' = 3600" = π/180 rad: SI Brochure (9th edition), table 8.
func TestParseAngle(t *testing.T) {
	for _, c := range []struct {
		text, canonical  string
		degrees, radians float64
	}{
		{"90°", "90°", 90, math.Pi / 2},
		{"90 deg", "90°", 90, math.Pi / 2},
		{"12'", "12 arcmin", 0.2, 0.2 * math.Pi / 180},
		{"12 ′", "12 arcmin", 0.2, 0.2 * math.Pi / 180},
		{`5"`, "5 arcsec", 5.0 / 3600, 5.0 / 3600 * math.Pi / 180},
		{"-5 arcsec", "-5 arcsec", -5.0 / 3600, -5.0 / 3600 * math.Pi / 180},
		{"2 rad", "2 rad", 360 / math.Pi, 2},
		{"1.5 mrad", "1.5 mrad", 0.27 / math.Pi, 1.5e-3},
		{"20 urad", "20 µrad", 3.6e-3 / math.Pi, 20e-6},
		{"20 \u03bcrad", "20 µrad", 3.6e-3 / math.Pi, 20e-6},
	} {
		a, err := ParseAngle(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(a.Degrees()-c.degrees) > 1e-15*math.Abs(c.degrees)*2 || math.Abs(a.Radians()-c.radians) > 1e-15*math.Abs(c.radians)*2 {
			t.Errorf("%q: %v°, %v rad; want %v, %v", c.text, a.Degrees(), a.Radians(), c.degrees, c.radians)
		}
		if a.String() != c.canonical {
			t.Errorf("%q prints %q, want %q", c.text, a, c.canonical)
		}
		roundTrip(t, ParseAngle, c.text)
	}
	checkFaults(t, ParseAngle, []fault{
		{"90", "90", "without a unit", `"90 deg"`},
		{"90 degrees", "degrees", "unit of angle", `"90 deg"`},
		{"90 Rad", "Rad", "unit of angle", `"90 rad"`},
		{"5 sec", "sec", "unit of angle", `"5 arcsec"`},
		{`30°15'`, "15'", "after the angle", "leave out"},
	})
	if !math.IsNaN((Angle{}).Degrees()) || !math.IsNaN((Angle{}).Radians()) {
		t.Error("an angle that is not stated has a figure")
	}
}

func FuzzAngle(f *testing.F) {
	for _, s := range []string{"90°", `5"`, "12'", "1.5 mrad", "20 µrad", "3 min"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { roundTrip(t, ParseAngle, text) })
}
