package source

// basicString reads "text" on one line.
func (p *Parser) basicString() bool {
	open := p.pos
	for i := open + 1; i < len(p.text); i++ {
		switch c := p.text[i]; {
		case c == '"':
			p.pos = i + 1
			return true
		case c == '\\':
			var ok bool
			if i, ok = p.escape(i); !ok {
				return false
			}
		case isControl(c):
			return p.failInString(open, i)
		}
	}
	return p.failInString(open, len(p.text))
}

// literalString reads 'text' on one line; nothing in it is an escape.
func (p *Parser) literalString() bool {
	open := p.pos
	for i := open + 1; i < len(p.text); i++ {
		switch c := p.text[i]; {
		case c == '\'':
			p.pos = i + 1
			return true
		case isControl(c):
			return p.failInString(open, i)
		}
	}
	return p.failInString(open, len(p.text))
}

// multilineString reads text between three quotes of one sort. Up to two such
// quotes may stand directly before the closing three.
func (p *Parser) multilineString(quote byte) bool {
	open := p.pos
	for i := open + 3; i < len(p.text); i++ {
		switch c := p.text[i]; {
		case c == quote:
			run := 1
			for i+run < len(p.text) && run < 5 && p.text[i+run] == quote {
				run++
			}
			if run >= 3 {
				p.pos = i + run
				return true
			}
			i += run - 1
		case c == '\\' && quote == '"':
			var ok bool
			if i, ok = p.multilineEscape(i); !ok {
				return false
			}
		case c == '\n':
			if startsWithMarker(p.text[i+1:], labelledMarkers) {
				return p.failMerge(i + 1)
			}
		case isControl(c):
			if !p.lineBreakAt(i) {
				return p.failControl(i)
			}
			p.crlf = true
		}
	}
	return p.failOpen(open, "text", p.text[open:open+3])
}

// multilineEscape checks the escape at i in a multi-line string, where a
// backslash may also end a line, and returns the index of its last byte.
func (p *Parser) multilineEscape(i int) (int, bool) {
	for j := i + 1; j < len(p.text); j++ {
		switch c := p.text[j]; {
		case c == ' ' || c == '\t':
			continue
		case p.lineBreakAt(j):
			return j - 1, true
		}
		break
	}
	return p.escape(i)
}

// escape checks the escape whose backslash is at i and returns the index of its
// last byte.
func (p *Parser) escape(i int) (int, bool) {
	if i+1 == len(p.text) {
		return i, true // the caller finds the string unclosed
	}
	switch p.text[i+1] {
	case 'b', 't', 'n', 'f', 'r', '"', '\\':
		return i + 1, true
	case 'u':
		return p.scalarEscape(i, 4)
	case 'U':
		return p.scalarEscape(i, 8)
	case 'e':
		return 0, p.fail11(i, `the escape \e`, `write \u001B`)
	case 'x':
		return 0, p.fail11(i, `the escape \x`, `write \u00 and the two digits`)
	}
	return 0, p.failEscape(i)
}

func (p *Parser) scalarEscape(i, digits int) (int, bool) {
	end := i + 2 + digits
	if end > len(p.text) {
		return 0, p.failEscape(i)
	}
	if _, ok := scalarValue(p.text[i+2 : end]); !ok {
		return 0, p.failEscape(i)
	}
	return end - 1, true
}
