package source

import (
	"strings"
	"unicode/utf8"
)

// Limits that keep a hostile file from exhausting stack or memory. Records
// stay far below each of them.
const (
	maxBytes = 64 << 20
	maxNodes = 1 << 20
	maxDepth = 64 // arrays and inline tables inside each other; parts of one key
)

// Parser reads texts one after the other and reuses its buffers. The zero
// Parser is ready. It is not safe for concurrent use: one for each goroutine.
type Parser struct {
	text  string
	pos   int
	depth int
	crlf  bool
	nodes []node
	path  []span // parts of the key being read
	index map[childKey]uint32
	fault *SyntaxError
	doc   Document
}

// span is a stretch of the text in bytes.
type span struct{ start, end uint32 }

// Parse reads a TOML 1.0 text. The Document is valid until the next Parse; the
// text itself is copied and may be overwritten at once. Of a refused text only
// the first fault is told; the fault is nil for a text that was read.
func (p *Parser) Parse(text []byte) (*Document, *SyntaxError) {
	p.reset(text)
	hasBOM := strings.HasPrefix(p.text, byteOrderMark)
	if hasBOM {
		p.pos = len(byteOrderMark)
	}
	if !p.readable(len(text)) || !p.document() {
		return nil, p.judge()
	}
	p.doc = Document{HasBOM: hasBOM, HasCRLF: p.crlf, text: p.text, nodes: p.nodes}
	return &p.doc, nil
}

func (p *Parser) reset(text []byte) {
	p.text = ""
	if len(text) <= maxBytes {
		p.text = string(text)
	}
	p.pos, p.depth, p.crlf, p.fault = 0, 0, false, nil
	p.path = p.path[:0]
	p.nodes = append(p.nodes[:0], node{kind: Table, origin: headed, end: uint32(len(p.text))})
	clear(p.index)
}

// readable checks the bytes before any of them is interpreted.
func (p *Parser) readable(size int) bool {
	if size > maxBytes {
		return p.failAs(TooLarge, 0, "the file is larger than 64 MiB", "split it; a record is a few kilobytes")
	}
	if !utf8.ValidString(p.text) {
		return p.failEncoding()
	}
	return true
}

// document reads all lines; a line's table is the one of the last header.
func (p *Parser) document() bool {
	table := uint32(0)
	for {
		p.blanks()
		if p.pos == len(p.text) {
			return true
		}
		switch p.text[p.pos] {
		case '\n', '\r', '#':
		case '[':
			var ok bool
			if table, ok = p.header(); !ok {
				return false
			}
		default:
			if !p.pair(table) {
				return false
			}
		}
		if !p.lineEnd() {
			return false
		}
	}
}

// pair reads key = value into a table.
func (p *Parser) pair(table uint32) bool {
	if !p.key() {
		return false
	}
	if p.peek() != '=' {
		return p.failAfterKey()
	}
	p.pos++
	p.blanks()
	entry, ok := p.entry(table)
	return ok && p.value(entry)
}
