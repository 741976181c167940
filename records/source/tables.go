package source

// Redefinition, TOML v1.0.0 "Table", "Inline Table" and "Array of Tables": a
// table is defined once, by its header or by dotted keys; a header may name
// tables on the way that get their own header later; what stands behind an
// equals sign is closed.

// header reads [key] or [[key]] and returns the table that the lines below it
// fill.
func (p *Parser) header() (uint32, bool) {
	start := p.pos
	p.pos++
	many := p.peek() == '['
	if many {
		p.pos++
	}
	p.blanks()
	if !p.key() {
		return 0, false
	}
	if p.peek() != ']' {
		return 0, p.failHeader(many)
	}
	p.pos++
	if many {
		if p.peek() != ']' {
			return 0, p.failHeader(many)
		}
		p.pos++
	}
	parent := uint32(0)
	for i := range len(p.path) - 1 {
		var ok bool
		if parent, ok = p.pass(parent, i); !ok {
			return 0, false
		}
	}
	nd := node{kind: Table, origin: headed, start: uint32(start), end: uint32(p.pos)}
	if many {
		return p.openElement(parent, nd)
	}
	return p.openTable(parent, nd)
}

// pass goes through part i of a header to the table it names.
func (p *Parser) pass(parent uint32, i int) (uint32, bool) {
	found := p.find(parent, p.partText(i))
	if found == 0 {
		found = p.add(parent, p.partNode(i, implied))
		return found, found != 0
	}
	switch nd := &p.nodes[found]; nd.origin {
	case repeated:
		return nd.last, true
	case implied, dotted, headed:
	case written:
		return 0, p.failClosed(i, found)
	}
	return found, true
}

// partNode is a table that exists because part i of a key names it.
func (p *Parser) partNode(i int, from origin) node {
	at := p.path[i]
	return node{keyStart: at.start, keyEnd: at.end, start: at.start, end: at.end, kind: Table, origin: from}
}

func (p *Parser) openTable(parent uint32, nd node) (uint32, bool) {
	last := len(p.path) - 1
	nd.keyStart, nd.keyEnd = p.path[last].start, p.path[last].end
	found := p.find(parent, p.partText(last))
	if found == 0 {
		found = p.add(parent, nd)
		return found, found != 0
	}
	old := &p.nodes[found]
	if old.origin != implied {
		return 0, p.failTwice(last, found)
	}
	old.keyStart, old.keyEnd, old.start, old.end, old.origin = nd.keyStart, nd.keyEnd, nd.start, nd.end, headed
	return found, true
}

func (p *Parser) openElement(parent uint32, nd node) (uint32, bool) {
	last := len(p.path) - 1
	nd.keyStart, nd.keyEnd = p.path[last].start, p.path[last].end
	found := p.find(parent, p.partText(last))
	if found == 0 {
		list := nd
		list.kind, list.origin = Array, repeated
		if found = p.add(parent, list); found == 0 {
			return 0, false
		}
	}
	if p.nodes[found].origin != repeated {
		return 0, p.failTwice(last, found)
	}
	element := p.add(found, nd)
	return element, element != 0
}

// entry makes the node for the key just read, below the tables its dots name.
func (p *Parser) entry(table uint32) (uint32, bool) {
	last := len(p.path) - 1
	for i := range last {
		found := p.find(table, p.partText(i))
		switch {
		case found == 0:
			if found = p.add(table, p.partNode(i, dotted)); found == 0 {
				return 0, false
			}
		case p.nodes[found].origin == implied:
			p.nodes[found].origin = dotted
		case p.nodes[found].origin != dotted:
			return 0, p.failClosed(i, found)
		}
		table = found
	}
	if found := p.find(table, p.partText(last)); found != 0 {
		return 0, p.failTwice(last, found)
	}
	made := p.add(table, node{keyStart: p.path[last].start, keyEnd: p.path[last].end})
	return made, made != 0
}
