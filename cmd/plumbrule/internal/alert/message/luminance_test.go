package message

import (
	"math"
	"strconv"
	"testing"
)

// luminance is the relative luminance of a colour #rrggbb (WCAG 2.2, definition).
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(colour[1:], 16, 32)
	if err != nil || len(colour) != 7 {
		t.Fatalf("%q is no colour", colour)
	}
	part := func(shift uint) float64 {
		v := float64(n>>shift&255) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}
