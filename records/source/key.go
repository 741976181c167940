package source

import (
	"strconv"
	"strings"
)

// Bit sets of the bytes A-Z a-z 0-9 _ - below 64 and from 64 to 127.
const (
	bareLow  = 1<<'-' | 0x3ff<<'0'
	bareHigh = 0x3ffffff<<('A'-64) | 0x3ffffff<<('a'-64) | 1<<('_'-64)
)

// isBare reports whether a key may contain this byte without quotes.
func isBare(c byte) bool {
	if c < 64 {
		return uint64(bareLow)>>c&1 != 0
	}
	return c < 128 && uint64(bareHigh)>>(c-64)&1 != 0
}

// key reads a key, dotted or not, into p.path and the blanks behind it.
func (p *Parser) key() bool {
	p.path = p.path[:0]
	for {
		start := p.pos
		switch c := p.peek(); {
		case isBare(c):
			for p.pos < len(p.text) && isBare(p.text[p.pos]) {
				p.pos++
			}
		case c == '"':
			if !p.basicString() {
				return false
			}
		case c == '\'':
			if !p.literalString() {
				return false
			}
		default:
			return p.failKey()
		}
		if len(p.path) == maxDepth {
			return p.failAs(TooDeep, start, "a key of more than 64 parts", "use fewer dots")
		}
		p.path = append(p.path, span{uint32(start), uint32(p.pos)})
		p.blanks()
		if p.peek() != '.' {
			return true
		}
		p.pos++
		p.blanks()
	}
}

// partText returns part i of the key just read, unquoted.
func (p *Parser) partText(i int) string {
	return keyText(p.text[p.path[i].start:p.path[i].end])
}

// keyText unquotes a key as written.
func keyText(writing string) string {
	if writing == "" || writing[0] != '"' && writing[0] != '\'' {
		return writing
	}
	inner := writing[1 : len(writing)-1]
	if writing[0] == '\'' || strings.IndexByte(inner, '\\') < 0 {
		return inner
	}
	return unescape(inner)
}

// sameKey compares a key as written with an unquoted one. No escape is longer
// than ten bytes, so that a far longer writing need not be decoded: comparing
// never costs more than reading both keys did.
func sameKey(writing, key string) bool {
	if writing == "" || writing[0] != '"' {
		return keyText(writing) == key
	}
	return len(writing)-2 <= 10*len(key) && keyText(writing) == key
}

// quoteKey writes a key so that it reads as one: bare where it can be.
func quoteKey(key string) string {
	for i := range len(key) {
		if !isBare(key[i]) {
			return strconv.Quote(key)
		}
	}
	if key == "" {
		return `""`
	}
	return key
}
