package show_test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"plumbrule/cmd/plumbrule/internal/show"
)

func TestText(t *testing.T) {
	for text, want := range map[string]string{
		"bar-3s, 12 µm ± 0.5 −": "bar-3s, 12 µm ± 0.5 −",
		"測定 é Ω":                "測定 é Ω",
		"a\tb\nc\r":             `a\tb\nc\r`,
		"\x1b[31mfit\x1b[0m":    `\x1b[31mfit\x1b[0m`,
		"un\u202efit":           `un\u202efit`,
		"un\u200bfit":           `un\u200bfit`,
		"\u2028\ufeff\u00ad":    `\u2028\ufeff\u00ad`,
		"\U000e0041":            `\U000e0041`,
		"\ue000":                `\ue000`,
		"\xff\xfe ok":           `\xff\xfe ok`,
		"\u009b31m":             `\u009b31m`, // the one-character form of the escape sequence
		"\x7f":                  `\x7f`,
	} {
		if got := show.Text(text); got != want {
			t.Errorf("Text(%q) = %q, want %q", text, got, want)
		}
	}
}

func FuzzText(f *testing.F) {
	f.Add("\x1b[2J\u202e\xff測")
	f.Fuzz(func(t *testing.T, text string) {
		got := show.Text(text)
		if !utf8.ValidString(got) || strings.ContainsFunc(got, func(r rune) bool { return !unicode.IsGraphic(r) }) {
			t.Errorf("Text(%q) = %q", text, got)
		}
		if again := show.Text(got); again != got {
			t.Errorf("a second pass changed %q to %q", got, again)
		}
	})
}
