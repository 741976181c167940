package scan

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestStep(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		tokens string
		want   float64
	}{
		{"", 0},
		{"0 0.000 -0", 0},
		{"100.2802 61.1436 30.0370", 1e-4},      // four digits behind the point
		{"400.1 -399.2 0.123456", 1e-3},         // six significant digits, zeros dropped at the large ones
		{"400 399.5 12.3456", 1e-3},             // likewise
		{"7.7548760000 408.3182290000", 1e-6},   // filled up with zeros
		{"1.234560e+02 -9.876500e+00", 1e-3},    // exponents, six digits
		{"1.23457e+06 12 0.5", 1e1},             // six digits end before the point
		{"1230 450 20", 1},                      // whole numbers
		{"0.001 0.0025", 1e-4},                  // below 1
		{"-325.6106038489 nan inf", 1e-10},      // what is not finite is not a size
		{"99999.5 0.125", 1e-1},                 // a carry must not lift the decade
		{"1.2345678901234567e+02 1", 0},         // all a float64 has
		{"0.100000000000000000000000000001", 0}, // more than it has
		{"1000000000000000000000 1.5", 0},       // zeros before a point are digits
	} {
		var d digits
		for token := range strings.FieldsSeq(c.tokens) {
			if _, ok := d.parse([]byte(token)); !ok {
				t.Fatal(token)
			}
		}
		if got := d.step(); got != c.want {
			t.Errorf("%s: step %g, want %g", c.tokens, got, c.want)
		}
	}
}

// TestStepOfWriters prints many numbers in the two ways and asks for the place value chosen.
func TestStepOfWriters(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		places := rapid.IntRange(1, 9).Draw(t, "places")
		whole := rapid.IntRange(1, 4).Draw(t, "whole")
		seed := rapid.Float64Range(0, 1).Draw(t, "seed")
		var fixed, general, half digits
		size := math.Pow10(whole)
		for i := range 500 {
			v := size * (0.11 + 0.8*math.Abs(math.Sin(seed+float64(i)*1.7)))
			for _, w := range []struct {
				d    *digits
				text string
			}{
				{&fixed, strconv.FormatFloat(v, 'f', places, 64)},
				{&general, strings.TrimRight(strconv.FormatFloat(v, 'g', whole+places, 64), "0")},
			} {
				if _, ok := w.d.parse([]byte(w.text)); !ok {
					t.Fatal(w.text)
				}
				if i%2 == 0 {
					half.parse([]byte(w.text))
				}
			}
		}
		want := math.Pow10(-places)
		if fixed.step() != want || general.step() != want {
			t.Fatalf("%d places: %g and %g", places, fixed.step(), general.step())
		}
		half.merge(fixed)
		half.merge(general)
		if half.step() != want {
			t.Fatalf("%d places: %g merged", places, half.step())
		}
	})
}
