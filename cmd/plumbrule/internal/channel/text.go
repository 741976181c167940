package channel

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"plumbrule/cmd/plumbrule/internal/show"
)

const (
	longestLine  = 200     // letters of a subject line, or of what a server said
	longestField = 4 << 10 // bytes of one field of an alert, where it is a line of a log or a label's neighbour
	longestText  = 1 << 20 // bytes of a text as a whole
)

// shorten cuts text to that many bytes at most and says how much is gone. What is left stays UTF-8 if it was.
func shorten(text string, most int) string {
	if len(text) <= most {
		return text
	}
	cut := most
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return fmt.Sprintf("%s… (%d bytes more)", text[:cut], len(text)-cut)
}

// line makes one harmless line of foreign text.
func line(text string, most int) string {
	return show.Text(shorten(strings.Join(strings.Fields(text), " "), most))
}

// lines makes foreign text harmless and leaves its lines.
func lines(text string, most int) string {
	text = strings.ReplaceAll(shorten(text, most), "\r\n", "\n")
	all := strings.Split(text, "\n")
	for i, l := range all {
		all[i] = show.Text(strings.ReplaceAll(l, "\t", "    "))
	}
	return strings.Join(all, "\n")
}

// said quotes what the other side answered.
func said(text string) string { return `"` + line(text, longestLine) + `"` }
