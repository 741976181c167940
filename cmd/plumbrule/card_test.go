package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"plumbrule/cmd/plumbrule/internal/browser"
	"plumbrule/cmd/plumbrule/internal/card"
	"plumbrule/records/calendar"
	"plumbrule/rules"
)

func cardsToPrint(n int) *printing {
	p := &printing{size: card.DefaultSize()}
	for i := range n {
		p.cards = append(p.cards, card.Card{
			Device: fmt.Sprintf("mic-%02d", i), Fitness: "fit", Day: "2026-11-02", Use: "No limits of use.", Printed: "2026-11-02",
			Record: fmt.Sprintf("devices/mic-%02d.toml", i), At: "2026-11-02T23:59:59+01:00",
		})
	}
	return p
}

// An A4 sheet holds ten; an SVG is one sheet, a PDF as many as it takes.
func TestMoreCardsThanASheetHolds(t *testing.T) {
	if err := cardsToPrint(10).fits(); err != nil {
		t.Error(err)
	}
	err := cardsToPrint(11).fits()
	var f *failure
	if !errors.As(err, &f) || f.status != statusUsage || f.what != "11 cards of 85.6 mm × 54 mm for one SVG, expected at most 10, as many as an A4 sheet holds" {
		t.Errorf("%v", err)
	}
	if _, err := browser.Installed(); err != nil {
		t.Skip(err)
	}
	for _, c := range []struct {
		cards, pages int
		size         string
	}{{1, 1, "[0 0 242"}, {10, 1, "[0 0 594"}, {11, 2, "[0 0 594"}} {
		var pdf bytes.Buffer
		if err := cardsToPrint(c.cards).pdf(t.Context(), &pdf); err != nil {
			t.Fatal(err)
		}
		if got := len(regexp.MustCompile(`/Type /Page\b`).FindAll(pdf.Bytes(), -1)); got != c.pages || !strings.Contains(pdf.String(), "/MediaBox "+c.size) {
			t.Errorf("%d cards: %d pages, want %d of %s", c.cards, got, c.pages, c.size)
		}
	}
}

func TestWithoutChromiumAPDFIsRefused(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	err := cardsToPrint(1).pdf(t.Context(), io.Discard)
	var f *failure
	if !errors.As(err, &f) || f.status != statusUnreadable || f.mend != "install Chromium, or write --svg and print that" {
		t.Errorf("%v", err)
	}
}

func TestDueOnACard(t *testing.T) {
	day := calendar.Date{Year: 2026, Month: 10, Day: 31}
	for state, want := range map[rules.DueState]string{
		rules.Ahead: "due by 2026-10-31", rules.Soon: "due by 2026-10-31", rules.Overdue: "overdue since 2026-11-01", rules.Missing: "never done",
		rules.DueNow: "asked for now", rules.Stopped: "stopped while out of service", rules.NotRequired: "not required", "": "unknown",
	} {
		if got := dueWords(rules.Due{State: state, Date: day}); got != want {
			t.Errorf("%s: %s, want %s", state, got, want)
		}
	}
}
