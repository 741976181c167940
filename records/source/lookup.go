package source

// linearChildren is the number of keys up to which a table is searched one by
// one; a larger one is indexed, so that no file costs quadratic time.
const linearChildren = 16

type childKey struct {
	table uint32
	key   string
}

// find returns the entry of a table under this key, or 0.
func (p *Parser) find(table uint32, key string) uint32 {
	if p.nodes[table].length > linearChildren {
		return p.index[childKey{table, key}]
	}
	for i := p.nodes[table].first; i != 0; {
		nd := &p.nodes[i]
		if sameKey(p.text[nd.keyStart:nd.keyEnd], key) {
			return i
		}
		i = nd.next
	}
	return 0
}

// add appends a node to a table or array and returns its index, or 0 when the
// document has too many.
func (p *Parser) add(parent uint32, nd node) uint32 {
	if len(p.nodes) == maxNodes {
		p.failAs(TooLarge, int(max(nd.start, nd.keyStart)), "more than a million values", "split the file")
		return 0
	}
	i := uint32(len(p.nodes))
	nd.parent = parent
	p.nodes = append(p.nodes, nd)
	up := &p.nodes[parent]
	if up.first == 0 {
		up.first = i
	} else {
		p.nodes[up.last].next = i
	}
	up.last = i
	up.length++
	if up.kind == Table && up.length > linearChildren {
		p.remember(parent, i)
	}
	return i
}

// remember puts a child into the index, and all earlier ones when the table
// has just outgrown the search.
func (p *Parser) remember(table, child uint32) {
	if p.index == nil {
		p.index = make(map[childKey]uint32)
	}
	if p.nodes[table].length == linearChildren+1 {
		child = p.nodes[table].first
	}
	for ; child != 0; child = p.nodes[child].next {
		nd := &p.nodes[child]
		p.index[childKey{table, keyText(p.text[nd.keyStart:nd.keyEnd])}] = child
	}
}
