package source

// peek returns the byte at the reading position, and 0 at the end of the text.
// A NUL in the text is 0 as well: no caller expects either.
func (p *Parser) peek() byte {
	if p.pos < len(p.text) {
		return p.text[p.pos]
	}
	return 0
}

// blanks skips spaces and tabs.
func (p *Parser) blanks() {
	for p.pos < len(p.text) && (p.text[p.pos] == ' ' || p.text[p.pos] == '\t') {
		p.pos++
	}
}

// lineEnd reads what may follow a header or a value on its line: blanks, a
// comment, the line's end.
func (p *Parser) lineEnd() bool {
	p.blanks()
	if p.pos == len(p.text) {
		return true
	}
	if p.text[p.pos] == '#' && !p.comment() {
		return false
	}
	if p.pos == len(p.text) {
		return true
	}
	if p.newline() {
		return true
	}
	return p.failAfterValue()
}

// newline skips one line end, LF or CRLF, and reports whether there was one.
func (p *Parser) newline() bool {
	switch {
	case p.peek() == '\n':
		p.pos++
		return true
	case p.peek() == '\r' && p.pos+1 < len(p.text) && p.text[p.pos+1] == '\n':
		p.pos += 2
		p.crlf = true
		return true
	}
	return false
}

// comment skips from # to the line's end, which it leaves.
func (p *Parser) comment() bool {
	for ; p.pos < len(p.text); p.pos++ {
		if c := p.text[p.pos]; isControl(c) {
			if c == '\n' || p.lineBreakAt(p.pos) {
				return true
			}
			return p.failControl(p.pos)
		}
	}
	return true
}

// gap skips blanks, comments and line ends, as allowed inside an array.
func (p *Parser) gap() bool {
	for {
		p.blanks()
		if p.newline() {
			continue
		}
		if p.peek() != '#' {
			return true
		}
		if !p.comment() {
			return false
		}
	}
}

// lineBreakAt reports whether LF or CRLF starts at i.
func (p *Parser) lineBreakAt(i int) bool {
	return p.text[i] == '\n' || p.text[i] == '\r' && i+1 < len(p.text) && p.text[i+1] == '\n'
}

// isControl reports the characters that TOML allows nowhere but as line ends:
// U+0000 to U+001F without tab, and U+007F.
func isControl(c byte) bool { return c < ' ' && c != '\t' || c == 0x7f }

func isDigit(c byte) bool { return c-'0' <= 9 }
