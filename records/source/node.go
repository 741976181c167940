package source

import (
	"iter"
	"slices"
	"strconv"
	"strings"
)

// node is one entry of the tree. Offsets are bytes in the text; links are
// indexes into the document's nodes, where 0, the root, stands for none.
type node struct {
	keyStart, keyEnd    uint32
	start, end          uint32
	parent, next        uint32
	first, last, length uint32
	kind                Kind
	origin              origin
}

// origin says how a table or array came about, which decides whether it may
// still be extended.
type origin uint8

const (
	written  origin = iota // a value behind an equals sign or in an array: closed
	implied                // named on the way to a deeper header; its own header may follow
	dotted                 // made by a dotted key; further dotted keys may add to it
	headed                 // has its own header
	repeated               // an array of tables; further [[…]] headers may add to it
)

// Node is one table, array or scalar of a document, with its key. The zero
// Node is no node: its Kind is None and it has no children.
type Node struct {
	doc   *Document
	index uint32
}

func (n Node) at() node {
	if n.doc == nil {
		return node{}
	}
	return n.doc.nodes[n.index]
}

// Kind returns the type of the value.
func (n Node) Kind() Kind { return n.at().kind }

// Key returns the node's own key, unquoted and without its parents' keys. An
// element of an array of tables has the key of its header; the root and the
// elements of a bracketed array have none.
func (n Node) Key() string {
	if n.doc == nil {
		return ""
	}
	nd := &n.doc.nodes[n.index]
	return keyText(n.doc.text[nd.keyStart:nd.keyEnd])
}

// KeyOffset returns the byte offset of the key's first byte as written, the
// quote included. For a table that was only named on the way to a deeper one it
// is the first mention. A node without key answers with its ValueOffset.
func (n Node) KeyOffset() int {
	nd := n.at()
	if nd.keyStart == nd.keyEnd {
		return int(nd.start)
	}
	return int(nd.keyStart)
}

// ValueOffset returns the byte offset of the value's first byte as written. The
// value of a table with a header starts at the header's bracket, that of a
// table made by a dotted key or named on the way at that key.
func (n Node) ValueOffset() int { return int(n.at().start) }

// Source returns the value as written: 29.9990, "µm" with its quotes, the
// header of a table. The string shares no memory with the parser.
func (n Node) Source() string {
	if n.doc == nil {
		return ""
	}
	nd := &n.doc.nodes[n.index]
	return n.doc.text[nd.start:nd.end]
}

// Len returns the number of keys of a table or of elements of an array, and 0
// for a scalar.
func (n Node) Len() int { return int(n.at().length) }

// Children yields the entries of a table in the order they were first written;
// of any other node, none.
func (n Node) Children() iter.Seq[Node] { return n.links(Table) }

// Elements yields the elements of an array in order, the tables of an array of
// tables among them; of any other node, none.
func (n Node) Elements() iter.Seq[Node] { return n.links(Array) }

func (n Node) links(kind Kind) iter.Seq[Node] {
	return func(yield func(Node) bool) {
		if n.Kind() != kind {
			return
		}
		for i := n.doc.nodes[n.index].first; i != 0; i = n.doc.nodes[i].next {
			if !yield(Node{n.doc, i}) {
				return
			}
		}
	}
}

// Child returns the entry of a table under exactly this key, and whether there
// is one.
func (n Node) Child(key string) (Node, bool) {
	for child := range n.Children() {
		if child.Key() == key {
			return child, true
		}
	}
	return Node{}, false
}

// Path returns the way from the root, such as reading[1].values[2]; elements
// count from 0. The root's path is empty. Keys that are not bare are quoted.
func (n Node) Path() string {
	if n.doc == nil || n.index == 0 {
		return ""
	}
	var steps []string
	for i := n.index; i != 0; i = n.doc.nodes[i].parent {
		step := Node{n.doc, i}
		parent := Node{n.doc, n.doc.nodes[i].parent}
		if parent.Kind() == Array {
			position := 0
			for j := n.doc.nodes[parent.index].first; j != i; j = n.doc.nodes[j].next {
				position++
			}
			steps = append(steps, "["+strconv.Itoa(position)+"]")
			continue
		}
		steps = append(steps, quoteKey(step.Key()))
		if parent.index != 0 {
			steps = append(steps, ".")
		}
	}
	var path strings.Builder
	for _, step := range slices.Backward(steps) {
		path.WriteString(step)
	}
	return path.String()
}
