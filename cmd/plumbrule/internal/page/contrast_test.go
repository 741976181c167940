package page

import (
	"io/fs"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// luminance is the relative luminance of a colour #rrggbb (WCAG 2.2, definition).
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(colour, "#"), 16, 32)
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

// contrast is the ratio of two colours (WCAG 2.2, definition): black on white is 21.
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Every colour of text can be read on both grounds, in light, in dark and in print (WCAG 2.2, 1.4.3, level AA: 4.5 to 1).
func TestContrast(t *testing.T) {
	if got := contrast(t, "#000000", "#ffffff"); math.Abs(got-21) > 1e-9 {
		t.Fatalf("black on white is %v", got)
	}
	css, err := fs.ReadFile(assets, "assets/style.css")
	if err != nil {
		t.Fatal(err)
	}
	themes := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(string(css), -1)
	if len(themes) != 3 {
		t.Fatalf("%d themes, expected light, dark and print", len(themes))
	}
	for i, theme := range themes {
		colours := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z]+): (#[0-9a-f]{6});`).FindAllStringSubmatch(theme[1], -1) {
			colours[m[1]] = m[2]
		}
		if len(colours) != 11 {
			t.Errorf("theme %d: %d colours", i, len(colours))
		}
		for name, colour := range colours {
			if name == "ground" || name == "panel" || name == "line" {
				continue
			}
			for _, ground := range []string{"ground", "panel"} {
				if got := contrast(t, colour, colours[ground]); got < 4.5 {
					t.Errorf("theme %d: %s on %s is %.2f", i, name, ground, got)
				}
			}
		}
	}
	outside := regexp.MustCompile(`(?s):root \{.*?\}`).ReplaceAllString(string(css), "")
	if found := regexp.MustCompile(`#[0-9a-fA-F]{3,8}\b|rgb|hsl|opacity`).FindString(outside); found != "" {
		t.Errorf("%s stands outside the themes", found)
	}
}
