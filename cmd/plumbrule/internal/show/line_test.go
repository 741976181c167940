package show_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/cmd/plumbrule/internal/show"
)

func TestWidth(t *testing.T) {
	for line, want := range map[string]int{
		"": 0, "µm": 2, "±−·": 3, "°C": 2, "測定": 4, "e\u0301": 1, "\x1b[32mpass\x1b[0m": 4, "ﾎﾞ": 2,
	} {
		if got := show.Width(line); got != want {
			t.Errorf("Width(%q) = %d, want %d", line, got, want)
		}
	}
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 10, []string{""}},
		{"the mean of the baseline", 10, []string{"the mean", "of the", "baseline"}},
		{"exactly ten", 11, []string{"exactly ten"}},
		{"測定器測定器", 5, []string{"測定", "器測", "定器"}},
		{"e\u0301e\u0301e\u0301", 2, []string{"e\u0301e\u0301", "e\u0301"}},
		{"  a   b ", 10, []string{"a b"}},
		{"測", 0, []string{"測"}},
	} {
		if diff := cmp.Diff(c.want, show.Lines(c.text, c.width)); diff != "" {
			t.Errorf("Lines(%q, %d): %s", c.text, c.width, diff)
		}
	}
}

func TestParagraphHangs(t *testing.T) {
	got := show.Paragraph("note: the limits rest on fewer points than asked for", 24, 6)
	want := "note: the limits rest on\n      fewer points than\n      asked for\n"
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	for line := range strings.SplitSeq(got, "\n") {
		if show.Width(line) > 24 {
			t.Errorf("%q is too wide", line)
		}
	}
}
