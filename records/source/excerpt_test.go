package source

import (
	"strings"
	"testing"
)

func TestExcerpt(t *testing.T) {
	long := strings.Repeat("a", 100) + "|" + strings.Repeat("b", 100)
	tests := []struct{ name, text, at, line, marker string }{
		{"middle line", "a = 1\nb = =\nc = 2\n", "= =", "b = =", "  ^"},
		{"crlf", "a = 1\r\nb = x\r\n", "x", "b = x", "    ^"},
		{"tab stays", "\ta\t= =", "=", "\ta\t= =", "\t \t^"},
		{"runes", `a = "µm °C" x`, "x", `a = "µm °C" x`, "            ^"},
		{"wide", `"測" = x`, "x", `"測" = x`, "       ^"},
		{"combining", "\"e\u0301\" = x", "x", "\"e\u0301\" = x", "      ^"},
		{"escape", "a\x1b[31m = x", "x", `a\u001B[31m = x`, "              ^"},
		{"hidden direction", "a\u202e = x", "x", `a\u202E = x`, "          ^"},
		{"bad byte", "a = \xb0x", "\xb0", `a = \xB0x`, "    ^"},
		{"mark", byteOrderMark + "a = x", "x", "a = x", "    ^"},
		{"end of line", "a = \nb", "\n", "a = ", "    ^"},
		{"long", long, "|", "…" + strings.Repeat("a", 58) + "|" + strings.Repeat("b", 59) + "…", strings.Repeat(" ", 59) + "^"},
		{"long, start", long, "a", strings.Repeat("a", 100) + "|" + strings.Repeat("b", 18) + "…", "^"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := Excerpt(test.text, strings.Index(test.text, test.at))
			if want := test.line + "\n" + test.marker; got != want {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
	for offset := -1; offset <= len(long)+1; offset++ {
		lines := strings.Split(Excerpt(long, offset), "\n")
		if width := len([]rune(lines[0])); width > excerptColumns {
			t.Errorf("offset %d: %d columns", offset, width)
		}
		place := []rune(lines[0] + " ")[len(lines[1])-1]
		want := []rune(long + " ")[max(0, min(offset, len(long)))]
		if place != want {
			t.Errorf("offset %d: the caret is under %q, want %q", offset, place, want)
		}
	}
}
