package spelling

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	words := []string{"feature", "values", "path", "um", "mm", "scan-01", "scan-02"}
	for typed, want := range map[string]string{
		"fetaure": "feature", "FEATURE": "feature", "vlaues": "values", "paht": "path", "SCAN-02": "scan-02", "scan-0": "scan-01",
		"nm": "", "x": "", "": "", "temperature": "",
	} {
		if got := Nearest(typed, words); got != want {
			t.Errorf("%q: guessed %q, want %q", typed, got, want)
		}
	}
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"abc", "", 3}, {"kitten", "sitting", 3}, {"ab", "ba", 1}, {"a cat", "an act", 2}, {"µm", "um", 1},
	} {
		if got := Distance(c.a, c.b); got != c.want {
			t.Errorf("%q, %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestDistanceIsSymmetricAndBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.StringN(0, 12, -1).Draw(t, "a"), rapid.StringN(0, 12, -1).Draw(t, "b")
		d := Distance(a, b)
		if d != Distance(b, a) {
			t.Fatalf("%d one way, %d the other", d, Distance(b, a))
		}
		if longest := max(len([]rune(a)), len([]rune(b))); d > longest || (d == 0) != (string([]rune(a)) == string([]rune(b))) {
			t.Fatalf("%q, %q: %d", a, b, d)
		}
	})
}
