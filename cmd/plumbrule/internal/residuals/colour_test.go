package residuals

import (
	"fmt"
	"math"
	"testing"
)

// linear returns the light of red, green and blue of a colour (sRGB, IEC 61966-2-1).
func linear(c uint32) [3]float64 {
	var out [3]float64
	for i, v := range []uint32{c >> 16, c >> 8, c} {
		s := float64(v&0xff) / 255
		if out[i] = s / 12.92; s > 0.04045 {
			out[i] = math.Pow((s+0.055)/1.055, 2.4)
		}
	}
	return out
}

// lab is the colour in CIE L*a*b* under D65, whose distances are about those the eye sees.
func lab(light [3]float64) [3]float64 {
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	r, g, b := light[0], light[1], light[2]
	x := f((0.4124*r + 0.3576*g + 0.1805*b) / 0.9505)
	y := f(0.2126*r + 0.7152*g + 0.0722*b)
	z := f((0.0193*r + 0.1192*g + 0.9505*b) / 1.089)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// contrast is the contrast ratio of WCAG 2.2.
func contrast(a, b uint32) float64 {
	luminance := func(c uint32) float64 {
		l := linear(c)
		return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
	}
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// blind says how colours look to people without one kind of cones: Machado, Oliveira, Fernandes, A physiologically-based
// model for simulation of color vision deficiency, IEEE TVCG 15 (2009), matrices for severity 1.0.
func blind() map[string][3][3]float64 {
	return map[string][3][3]float64{
		"full sight":   {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
		"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
		"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
	}
}

func seen(c uint32, by [3][3]float64) [3]float64 {
	light := linear(c)
	var out [3]float64
	for i, row := range by {
		for k, m := range row {
			out[i] += m * light[k]
		}
		out[i] = min(max(out[i], 0), 1)
	}
	return lab(out)
}

func apart(a, b [3]float64) float64 {
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

func palettes() map[string]palette {
	return map[string]palette{"light": light(), "dark": dark(), "paper": onPaper()}
}

// In grey, and so for every eye, the size of a residual shows: each class differs from the one before by at least five
// units of lightness, always in one direction, the first from the ground. How far is far enough: common practice, no source.
func TestShadesInGrey(t *testing.T) {
	for name, p := range palettes() {
		for _, sign := range []int{-1, 1} {
			before := lab(linear(p[inkPaper]))[0]
			way := math.Copysign(1, 50-before)
			for n := 1; n <= classes; n++ {
				l := lab(linear(p[shadeInk(sign*n)]))[0]
				if way*(l-before) < 5 {
					t.Errorf("%s, class %d: lightness %.1f after %.1f", name, sign*n, l, before)
				}
				before = l
			}
		}
	}
}

// The sides of zero are kept apart by colour for every kind of sight, from the second class on; ten units are seen at a
// glance (common practice, no source).
func TestShadesForTheColourBlind(t *testing.T) {
	for sight, matrix := range blind() {
		for name, p := range palettes() {
			for n := 2; n <= classes; n++ {
				if d := apart(seen(p[shadeInk(-n)], matrix), seen(p[shadeInk(n)], matrix)); d < 10 {
					t.Errorf("%s, %s: classes ±%d are %.1f apart", sight, name, n, d)
				}
			}
		}
	}
}

// Letters need a contrast of 4.5, signs one of 3 (WCAG 2.2, 1.4.3 and 1.4.11).
func TestContrasts(t *testing.T) {
	for name, p := range palettes() {
		check := func(what string, on, of ink, least float64) {
			if got := contrast(p[on], p[of]); got < least {
				t.Errorf("%s, %s: contrast %.2f, want %v", name, what, got, least)
			}
		}
		for _, k := range looks() {
			switch {
			case k.size > 0:
				check(string(k.role), inkPaper, k.fill, 4.5)
			case k.role == rim, k.role == circles, k.role == crossed, k.role == dimension, k.role == pointer:
				check(string(k.role), inkPaper, k.stroke, 3)
			}
		}
		for n := 1; n <= classes; n++ {
			for _, c := range []int{-n, n} {
				switch signed(c) {
				case 0:
					check(fmt.Sprintf("sign on class %d", c), shadeInk(c), inkMedium, 3)
				case 1:
					check(fmt.Sprintf("sign on class %d", c), shadeInk(c), inkDeep, 3)
				}
			}
		}
	}
}
