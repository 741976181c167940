package show

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text makes foreign text safe to print: whatever a reader could not see, or could not trust, is spelled out. That is
// control characters (\n, \x1b), signs that turn the reading direction or have no width (\u202e, \u200b), unassigned and
// private characters, and bytes that are no UTF-8 (\xff). Letters of all scripts, combining marks and blanks stay.
func Text(text string) string {
	if !strings.ContainsFunc(text, hidden) && utf8.ValidString(text) {
		return text
	}
	var out strings.Builder
	for len(text) > 0 {
		r, size := utf8.DecodeRuneInString(text)
		if r == utf8.RuneError && size == 1 {
			fmt.Fprintf(&out, `\x%02x`, text[0])
		} else if hidden(r) {
			out.WriteString(spelled(r))
		} else {
			out.WriteRune(r)
		}
		text = text[size:]
	}
	return out.String()
}

// hidden tells whether a character has to be spelled out. Graphic characters are letters, marks, numbers, punctuation,
// symbols and blanks: everything else is unseen or acts on its neighbours.
func hidden(r rune) bool { return !unicode.IsGraphic(r) }

func spelled(r rune) string {
	switch {
	case r == '\n':
		return `\n`
	case r == '\r':
		return `\r`
	case r == '\t':
		return `\t`
	case r < 0x80:
		return fmt.Sprintf(`\x%02x`, r)
	case r <= 0xffff:
		return fmt.Sprintf(`\u%04x`, r)
	}
	return fmt.Sprintf(`\U%08x`, r)
}
