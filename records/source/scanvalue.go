package source

// value reads one value into node n.
func (p *Parser) value(n uint32) bool {
	start := p.pos
	var kind Kind
	var ok bool
	switch p.peek() {
	case '"':
		kind = String
		if p.quoted(`"""`) {
			ok = p.multilineString('"')
		} else {
			ok = p.basicString()
		}
	case '\'':
		kind = String
		if p.quoted(`'''`) {
			ok = p.multilineString('\'')
		} else {
			ok = p.literalString()
		}
	case '[':
		kind = Array
		p.nodes[n].kind = Array
		ok = p.nested(n, p.array)
	case '{':
		kind = Table
		p.nodes[n].kind = Table
		ok = p.nested(n, p.inlineTable)
	default:
		kind, ok = p.scalar()
	}
	if !ok {
		return false
	}
	nd := &p.nodes[n]
	nd.kind, nd.start, nd.end = kind, uint32(start), uint32(p.pos)
	return true
}

// quoted reports whether a string opens with these three quotes.
func (p *Parser) quoted(marks string) bool {
	return len(p.text)-p.pos >= 3 && p.text[p.pos:p.pos+3] == marks
}

// nested reads one level further down, as far as the limit.
func (p *Parser) nested(n uint32, read func(uint32) bool) bool {
	if p.depth == maxDepth {
		return p.failAs(TooDeep, p.pos, "brackets nested more than 64 deep", "use fewer levels")
	}
	p.depth++
	ok := read(n)
	p.depth--
	return ok
}

// array reads [value, value, …]; line ends, comments and a last comma are
// allowed between the brackets.
func (p *Parser) array(n uint32) bool {
	open := p.pos
	p.pos++
	for {
		if !p.gap() {
			return false
		}
		if p.peek() == ']' {
			p.pos++
			return true
		}
		if p.pos == len(p.text) {
			return p.failOpen(open, "array", "]")
		}
		element := p.add(n, node{start: uint32(p.pos)})
		if element == 0 || !p.value(element) || !p.gap() {
			return false
		}
		switch p.peek() {
		case ',':
			p.pos++
		case ']':
		default:
			return p.failBetween(open, "array", "]")
		}
	}
}

// inlineTable reads {key = value, …} on one line. TOML 1.1 allows line ends,
// comments and a last comma here; TOML 1.0 does not.
func (p *Parser) inlineTable(n uint32) bool {
	open := p.pos
	p.pos++
	p.blanks()
	if p.peek() == '}' {
		p.pos++
		return true
	}
	for {
		if p.pos == len(p.text) {
			return p.failOpen(open, "inline table", "}")
		}
		if !p.oneLine() || !p.pair(n) {
			return false
		}
		p.blanks()
		if !p.oneLine() {
			return false
		}
		switch p.peek() {
		case '}':
			p.pos++
			return true
		case ',':
			comma := p.pos
			p.pos++
			p.blanks()
			if p.peek() == '}' {
				return p.fail11(comma, "a comma before the closing brace of an inline table", "delete the comma")
			}
		default:
			return p.failBetween(open, "inline table", "}")
		}
	}
}

// oneLine refuses a line end or comment inside an inline table.
func (p *Parser) oneLine() bool {
	if p.pos == len(p.text) || p.text[p.pos] != '#' && !p.lineBreakAt(p.pos) {
		return true
	}
	return p.fail11(p.pos, "an inline table over more than one line",
		"write the table on one line, or give it a header of its own in [brackets]")
}
