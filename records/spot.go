package records

import (
	"io/fs"

	"plumbrule/records/source"
)

// spot names a place in a record by its keys, such as the second value of the
// third reading. Records carry no positions: a spot costs nothing, and is
// looked up in the file only when there is something to report. The zero spot
// is the file as a whole.
type spot struct {
	table string // "" for a key at the top
	row   int    // number of the table in an array of tables; 0: no array
	key   string // "" for the table itself
	item  int    // number of the element in a list; 0: the whole value
	name  bool   // the key, not its value
}

// top is the value of a key at the top of a file, or that table.
func top(key string) spot { return spot{key: key} }

// row is the i-th table, from 0, of an array of tables.
func row(table string, i int) spot { return spot{table: table, row: i + 1} }

// in is the value of a key in a table.
func in(table, key string) spot { return spot{table: table, key: key} }

// at is the value of a key in the same table.
func (s spot) at(key string) spot {
	s.key = key
	return s
}

// value is the j-th element, from 0, of a list.
func (s spot) value(j int) spot {
	s.item = j + 1
	return s
}

// named is the key itself instead of its value.
func (s spot) named() spot {
	s.name = true
	return s
}

// offset finds the spot in a document, or the nearest table above it.
func (s spot) offset(doc *source.Document) int {
	n := doc.Root()
	for _, step := range []struct {
		key     string
		element int
	}{{s.table, s.row}, {s.key, s.item}} {
		if step.key == "" {
			continue
		}
		child, ok := n.Child(step.key)
		if !ok {
			return n.ValueOffset()
		}
		n = child
		for element := range child.Elements() {
			if step.element--; step.element == 0 {
				n = element
			}
		}
	}
	if s.name {
		return n.KeyOffset()
	}
	return n.ValueOffset()
}

// finder looks up spots; it keeps the last file it read, since one file's
// faults come together.
type finder struct {
	fsys   fs.FS
	parser source.Parser
	file   string
	doc    *source.Document
}

// find returns the position of a spot and the line there with a marker; both
// are empty for a whole file and for one that cannot be read.
func (f *finder) find(file string, s spot) (Position, string) {
	if s == (spot{}) {
		return Position{}, ""
	}
	if f.file != file {
		f.file, f.doc = file, nil
		if data, err := fs.ReadFile(f.fsys, file); err == nil {
			if doc, fault := f.parser.Parse(data); fault == nil {
				f.doc = doc
			}
		}
	}
	if f.doc == nil {
		return Position{}, ""
	}
	offset := s.offset(f.doc)
	return f.doc.PositionOf(offset), source.Excerpt(f.doc.Text(), offset)
}
