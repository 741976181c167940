package source

import "slices"

// Document is a text that was read, as a tree of nodes. It belongs to the
// Parser that made it and is valid until that Parser's next Parse; Clone keeps
// it longer. Strings taken from it stay valid in any case.
type Document struct {
	// HasBOM reports a UTF-8 byte order mark at the start: read, but out of
	// place in a file that other tools are to read as well.
	HasBOM bool
	// HasCRLF reports at least one line ending in carriage return, line feed.
	HasCRLF bool

	text  string
	nodes []node
}

// Root returns the table of all top-level keys. Its key is empty.
func (d *Document) Root() Node { return Node{d, 0} }

// Text returns the whole text, the byte order mark included.
func (d *Document) Text() string { return d.text }

// PositionOf returns line and column of a byte offset in the text.
func (d *Document) PositionOf(offset int) Position { return positionOf(d.text, offset) }

// Clone returns a copy that outlives the Parser's next Parse. Nodes of the
// original keep referring to the original.
func (d *Document) Clone() *Document {
	clone := *d
	clone.nodes = slices.Clone(d.nodes)
	return &clone
}
