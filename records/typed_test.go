package records

import (
	"strings"
	"testing"
	"time"
)

// The digits of a reading are part of the observation (ISO/IEC 17025:2017, 7.5.1): writing keeps them, and never a text
// that TOML would read otherwise.
func TestReadingsKeepTheirDigits(t *testing.T) {
	for _, c := range []struct {
		value float64
		typed string
		want  string
	}{
		{29.999, "29.9990", "29.9990"},
		{29.999, "+29.9990", "+29.9990"},
		{-0.5, "-0.50", "-0.50"},
		{30, "30", "30.0"},             // a whole number is written as a float
		{29.999, "029.999", "29.999"},  // no leading zero in TOML
		{29.999, "29.998", "29.999"},   // another value: the value counts
		{29.999, ".29999e2", "29.999"}, // no bare point in TOML
		{29.999, "--29.999", "29.999"},
		{0.5, "", "0.5"},
	} {
		check := Check{
			Device: "a", Artifact: "b", Procedure: "c", Unit: "mm", By: "mk", Time: time.Date(2026, 10, 5, 8, 12, 0, 0, time.UTC), Entered: time.Date(2026, 10, 5, 8, 12, 0, 0, time.UTC),
			Readings: []Reading{{Feature: "A", Values: []float64{c.value}, Typed: []string{c.typed}}},
		}
		text, err := Encode(&check)
		if err != nil {
			t.Fatal(err)
		}
		if want := "values = [" + c.want + "]\n"; !strings.Contains(string(text), want) {
			t.Errorf("%v typed %q: got\n%s\nwant %s", c.value, c.typed, text, want)
		}
	}
}
