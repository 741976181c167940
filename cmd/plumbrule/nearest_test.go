package main

import "testing"

func TestNearest(t *testing.T) {
	verbs := []string{"chart", "decide", "due", "version"}
	for text, want := range map[string]string{
		"decde": "decide", "dceide": "decide", "deu": "due", "version": "version", "chrat": "chart", "duee": "due",
		"status": "", "x": "", "": "", "decision": "",
	} {
		if got := nearest(text, verbs); got != want {
			t.Errorf("nearest(%q) = %q, want %q", text, got, want)
		}
	}
}

// The distances are counted by hand.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "due", 3}, {"due", "due", 0}, {"deu", "due", 1}, {"kitten", "sitting", 3}, {"µm", "um", 1}} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("distance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
