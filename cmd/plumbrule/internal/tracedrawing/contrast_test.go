package tracedrawing

import (
	"math"
	"strconv"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2 of a colour written #rrggbb.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil {
		t.Fatal(err)
	}
	linear := func(v uint64) float64 {
		c := float64(v&0xff) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n>>16) + 0.7152*linear(n>>8) + 0.0722*linear(n)
}

// Letters need a contrast of 4.5, lines and signs one of 3 (WCAG 2.2, 1.4.3 and 1.4.11).
func TestContrast(t *testing.T) {
	light, dark := palettes()
	for name, p := range map[string]palette{"light": light, "dark": dark} {
		for _, on := range []string{p.ground, p.box} {
			for colour, least := range map[string]float64{p.ink: 4.5, p.quiet: 4.5, p.gap: 4.5, p.link: 3, p.faint: 3} {
				a, b := luminance(t, colour), luminance(t, on)
				if got := (max(a, b) + 0.05) / (min(a, b) + 0.05); got < least {
					t.Errorf("%s: %s on %s has a contrast of %.2f, want %v", name, colour, on, got, least)
				}
			}
		}
	}
}
