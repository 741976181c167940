package records

import (
	"fmt"

	"plumbrule/records/source"
)

// key is one key of a table: its name, what it means, how its value is
// written, and how it is read into and written from the record. Reading,
// writing and the reference page all come from this one value.
type key[T any] struct {
	name   string
	form   string // how the value is written, for people
	doc    string
	needed bool

	read  func(d *decoder, n source.Node, into *T)
	write func(w *writer, name string, from *T)
	sub   func() []KeyDoc // keys of the table or tables below
}

// keys is the list of keys a table may have.
type keys[T any] struct {
	list   []key[T]
	byName map[string]int
}

// newKeys makes the table's list; the order is the order of writing.
func newKeys[T any](list ...key[T]) *keys[T] {
	k := &keys[T]{list: list, byName: make(map[string]int, len(list))}
	for i := range list {
		k.byName[list[i].name] = i
	}
	return k
}

// need marks a key that must be there.
func need[T any](k key[T]) key[T] {
	k.needed = true
	return k
}

// lined keeps the line of a key's value, for conclusions drawn from it later.
func lined[T any](k key[T], line func(*T) *int) key[T] {
	read := k.read
	k.read = func(d *decoder, n source.Node, into *T) {
		*line(into) = d.line(n.ValueOffset())
		read(d, n, into)
	}
	return k
}

// KeyDoc documents one key of a record kind.
type KeyDoc struct {
	Name   string
	Form   string
	Doc    string
	Needed bool
	Keys   []KeyDoc // of a table, or of each table of an array
}

// docs lists what the keys mean.
func (k *keys[T]) docs() []KeyDoc {
	out := make([]KeyDoc, len(k.list))
	for i := range k.list {
		out[i] = KeyDoc{Name: k.list[i].name, Form: k.list[i].form, Doc: k.list[i].doc, Needed: k.list[i].needed}
		if k.list[i].sub != nil {
			out[i].Keys = k.list[i].sub()
		}
	}
	return out
}

// names lists the keys' names.
func (k *keys[T]) names() []string {
	out := make([]string, len(k.list))
	for i := range k.list {
		out[i] = k.list[i].name
	}
	return out
}

// example shows a key with the form of its value.
func (k *keys[T]) example(name string) string {
	return fmt.Sprintf("%s (%s)", name, k.list[k.byName[name]].form)
}

// readTable reads the keys of a table into the record, reporting every fault; a
// key that is missing is reported where the table begins.
func readTable[T any](d *decoder, table source.Node, k *keys[T], into *T) {
	var seen uint64
	for n := range table.Children() {
		i, known := k.byName[n.Key()]
		if !known {
			d.unknownKey(n, k.names())
			continue
		}
		seen |= 1 << i
		d.needed = k.list[i].needed
		k.list[i].read(d, n, into)
	}
	for i := range k.list {
		if k.list[i].needed && seen&(1<<i) == 0 {
			d.report("missing-key", table.ValueOffset(), fmt.Sprintf("key %s is missing", k.list[i].name), "add "+k.example(k.list[i].name))
		}
	}
}

// writeTable writes the keys that have a value, simple keys first, as TOML
// wants it.
func writeTable[T any](w *writer, k *keys[T], from *T) {
	for i := range k.list {
		if k.list[i].sub == nil {
			k.list[i].write(w, k.list[i].name, from)
		}
	}
	for i := range k.list {
		if k.list[i].sub != nil {
			k.list[i].write(w, k.list[i].name, from)
		}
	}
}

// table is a key whose value is one table.
func table[T, E any](name, doc string, sub *keys[E], at func(*T) *E, present func(*T) bool, line func(*E) *int) key[T] {
	return key[T]{
		name: name, form: "[" + name + "]", doc: doc, sub: sub.docs,
		read: func(d *decoder, n source.Node, into *T) {
			if d.isTable(n, name) {
				if line != nil {
					*line(at(into)) = d.line(n.KeyOffset())
				}
				readTable(d, n, sub, at(into))
			}
		},
		write: func(w *writer, name string, from *T) {
			if present(from) {
				w.header(name)
				writeTable(w, sub, at(from))
			}
		},
	}
}

// optionalTable is a key whose value is one table that may be absent.
func optionalTable[T, E any](name, doc string, sub *keys[E], at func(*T) **E, line func(*E) *int) key[T] {
	return key[T]{
		name: name, form: "[" + name + "]", doc: doc, sub: sub.docs,
		read: func(d *decoder, n source.Node, into *T) {
			if !d.isTable(n, name) {
				return
			}
			e := new(E)
			if line != nil {
				*line(e) = d.line(n.ValueOffset())
			}
			readTable(d, n, sub, e)
			*at(into) = e
		},
		write: func(w *writer, name string, from *T) {
			if e := *at(from); e != nil {
				w.header(name)
				writeTable(w, sub, e)
			}
		},
	}
}

// tables is a key whose value is an array of tables.
func tables[T, E any](name, doc string, sub *keys[E], at func(*T) *[]E, line func(*E) *int) key[T] {
	return key[T]{
		name: name, form: "[[" + name + "]]", doc: doc, sub: sub.docs,
		read: func(d *decoder, n source.Node, into *T) {
			if !d.isTables(n, name) {
				return
			}
			list := at(into)
			if count := n.Len(); count > 0 {
				*list = make([]E, 0, count)
			}
			for element := range n.Elements() {
				*list = append(*list, *new(E))
				e := &(*list)[len(*list)-1]
				if line != nil {
					*line(e) = d.line(element.ValueOffset())
				}
				readTable(d, element, sub, e)
			}
		},
		write: func(w *writer, name string, from *T) {
			list := *at(from)
			for i := range list {
				w.element(name)
				writeTable(w, sub, &list[i])
			}
		},
	}
}
