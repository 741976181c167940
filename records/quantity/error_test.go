package quantity

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

// fault is an expected error: the part of the text it points to, and words
// that its message and its remedy contain.
type fault struct {
	text, at, says, mends string
}

func (f fault) check(t *testing.T, err error) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("%q: got %v, want an *Error", f.text, err)
	}
	if e.Text != f.text {
		t.Errorf("%q: error keeps text %q", f.text, e.Text)
	}
	if got := e.Text[e.Start:e.End]; got != f.at {
		t.Errorf("%q: points to %q, want %q", f.text, got, f.at)
	}
	if !strings.Contains(e.Error(), f.says) {
		t.Errorf("%q: says %q, want %q in it", f.text, e.Error(), f.says)
	}
	if !strings.Contains(e.Mend, f.mends) {
		t.Errorf("%q: mends by %q, want %q in it", f.text, e.Mend, f.mends)
	}
}

func checkFaults[T any](t *testing.T, parse func(string) (T, error), faults []fault) {
	t.Helper()
	for _, f := range faults {
		_, err := parse(f.text)
		f.check(t, err)
	}
}

// quantityText is what every type of the package is.
type quantityText interface {
	comparable
	String() string
	IsZero() bool
}

// roundTrip checks the laws of every Parse function on one text: an error
// points into the text and is complete; a value prints to a canonical text
// that gives the same value again.
func roundTrip[T quantityText](t *testing.T, parse func(string) (T, error), text string) {
	t.Helper()
	x, err := parse(text)
	if err != nil {
		var e *Error
		if !errors.As(err, &e) {
			t.Fatalf("%q: %T, want *Error", text, err)
		}
		if e.Text != text || e.Start < 0 || e.Start > e.End || e.End > len(text) {
			t.Fatalf("%q: range %d:%d", text, e.Start, e.End)
		}
		if utf8.ValidString(text) && (!utf8.ValidString(text[:e.Start]) || !utf8.ValidString(text[:e.End])) {
			t.Fatalf("%q: range %d:%d cuts a character", text, e.Start, e.End)
		}
		if e.Start == e.End && e.End < len(text) {
			t.Fatalf("%q: empty range at %d before the end", text, e.Start)
		}
		if e.Found == "" || e.Expected == "" || e.Mend == "" {
			t.Fatalf("%q: incomplete error %+v", text, e)
		}
		var zero T
		if x != zero {
			t.Fatalf("%q: value %v beside an error", text, x)
		}
		return
	}
	if x.IsZero() {
		t.Fatalf("%q: read as not stated", text)
	}
	canonical := x.String()
	again, err := parse(canonical)
	if err != nil {
		t.Fatalf("%q prints as %q, which is refused: %v", text, canonical, err)
	}
	if again != x || again.String() != canonical {
		t.Fatalf("%q prints as %q, which reads as %#v, want %#v", text, canonical, again, x)
	}
}

func TestAnErrorReadsAsOneSentence(t *testing.T) {
	_, err := ParseLength("25")
	const want = `"25" without a unit, expected a unit of length (nm, µm, mm, cm, m, km or in)`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestNoUnitIsTold(t *testing.T) {
	var e *Error
	for text, parse := range map[string]func(string) error{
		"0.3":     func(s string) error { _, err := ParseLength(s); return err },
		"11.5e-6": func(s string) error { _, err := ParseExpansion(s); return err },
		"12":      func(s string) error { _, err := ParseInterval(s); return err },
	} {
		if err := parse(text); !errors.As(err, &e) || !e.NoUnit {
			t.Errorf("%q: %v is not told as a figure without unit", text, err)
		}
	}
	if _, err := ParseLength("0.3 parsec"); !errors.As(err, &e) || e.NoUnit {
		t.Errorf("an unknown unit is told as a missing one: %v", err)
	}
}
