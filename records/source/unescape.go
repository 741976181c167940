package source

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// stringText decodes a string as written; the parser has checked it.
func stringText(writing string) string {
	quote := writing[0]
	inner := writing[1 : len(writing)-1]
	if len(writing) >= 6 && writing[1] == quote && writing[2] == quote {
		inner = withoutFirstLineEnd(writing[3 : len(writing)-3])
	}
	if quote == '\'' || strings.IndexByte(inner, '\\') < 0 {
		return inner
	}
	return unescape(inner)
}

// withoutFirstLineEnd drops a line end directly behind the opening quotes.
func withoutFirstLineEnd(s string) string {
	if rest, ok := strings.CutPrefix(s, "\r\n"); ok {
		return rest
	}
	return strings.TrimPrefix(s, "\n")
}

// unescape decodes the escapes of a basic string.
func unescape(s string) string {
	var b strings.Builder
	b.Grow(len(s))
	for {
		i := strings.IndexByte(s, '\\')
		if i < 0 || i+1 == len(s) {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		c := s[i+1]
		s = s[i+2:]
		switch c {
		case 'b':
			b.WriteByte('\b')
		case 't':
			b.WriteByte('\t')
		case 'n':
			b.WriteByte('\n')
		case 'f':
			b.WriteByte('\f')
		case 'r':
			b.WriteByte('\r')
		case 'u':
			s = writeScalar(&b, s, 4)
		case 'U':
			s = writeScalar(&b, s, 8)
		case ' ', '\t', '\r', '\n':
			s = strings.TrimLeft(s, " \t\r\n")
		default: // the quote and the backslash stand for themselves
			b.WriteByte(c)
		}
	}
}

func writeScalar(b *strings.Builder, s string, digits int) string {
	if len(s) < digits {
		return s
	}
	if r, ok := scalarValue(s[:digits]); ok {
		b.WriteRune(r)
	}
	return s[digits:]
}

// scalarValue reads hexadecimal digits as a Unicode scalar value: no
// surrogates, nothing above U+10FFFF.
func scalarValue(hex string) (rune, bool) {
	if strings.IndexFunc(hex, func(r rune) bool { return r > 'f' || !isHex(byte(r)) }) >= 0 {
		return 0, false
	}
	v, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || v > utf8.MaxRune || !utf8.ValidRune(rune(v)) {
		return 0, false
	}
	return rune(v), true
}

func isHex(c byte) bool { return isDigit(c) || (c|0x20)-'a' <= 5 }
