package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// cursor walks over one text.
type cursor struct {
	text string
	pos  int
}

// rest is the text that has not been read.
func (c *cursor) rest() string { return c.text[c.pos:] }

// atEnd tells whether nothing is left.
func (c *cursor) atEnd() bool { return c.pos >= len(c.text) }

// blank skips blanks, among them the no-break and thin ones that word
// processors put between number and unit.
func (c *cursor) blank() {
	for c.pos < len(c.text) {
		b := c.text[c.pos]
		if b == ' ' || b == '\t' {
			c.pos++
			continue
		}
		if b < utf8.RuneSelf {
			return
		}
		r, size := utf8.DecodeRuneInString(c.rest())
		if r != '\u00a0' && r != '\u202f' && r != '\u2009' {
			return
		}
		c.pos += size
	}
}

// take reads the first of the spellings that stands here.
func (c *cursor) take(spellings ...string) bool {
	for _, s := range spellings {
		if strings.HasPrefix(c.rest(), s) {
			c.pos += len(s)
			return true
		}
	}
	return false
}

// takePlusMinus reads ± in one of its spellings.
func (c *cursor) takePlusMinus() bool { return c.take("±", "+/-", "+-") }

// word reads letters and the signs that stand for units of angle and
// temperature. It is empty when something else stands here.
func (c *cursor) word() string {
	start := c.pos
	for c.pos < len(c.text) {
		b := c.text[c.pos]
		if 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z' || b == '\'' || b == '"' || b == '%' {
			c.pos++
			continue
		}
		if b < utf8.RuneSelf {
			break
		}
		r, size := utf8.DecodeRuneInString(c.rest())
		if !unicode.IsLetter(r) && !strings.ContainsRune("°℃℉º′″‰", r) {
			break
		}
		c.pos += size
	}
	return c.text[start:c.pos]
}

// peek is the next word, or the next character when no word stands here; it
// is empty at the end.
func (c *cursor) peek() string {
	ahead := *c
	if w := ahead.word(); w != "" {
		return w
	}
	_, size := utf8.DecodeRuneInString(c.rest())
	return c.rest()[:size]
}

// fault makes the error for the bytes from start to end.
func (c *cursor) fault(start, end int, found, expected, mend string) *Error {
	return &Error{Text: c.text, Start: start, End: end, Found: found, Expected: expected, Mend: mend}
}

// noUnit makes the error for a figure from start to end that has no unit.
func (c *cursor) noUnit(start, end int, expected, mend string) *Error {
	e := c.fault(start, end, quoted(c.text[start:end])+" without a unit", expected, mend)
	e.NoUnit = true
	return e
}

// here makes the error for the next word or character.
func (c *cursor) here(expected, mend string) *Error {
	next := c.peek()
	if next == "" {
		found := "the text ends"
		if strings.TrimSpace(c.text) == "" {
			found = "the text is empty"
		}
		return c.fault(c.pos, c.pos, found, expected, mend)
	}
	return c.fault(c.pos, c.pos+len(next), quoted(next), expected, mend)
}

// end refuses whatever follows a complete quantity.
func (c *cursor) end(what string) *Error {
	c.blank()
	if c.atEnd() {
		return nil
	}
	return c.fault(c.pos, len(c.text), quoted(c.rest())+" after "+what, "the end of the text",
		"write "+what+" alone and leave out "+quoted(c.rest()))
}
