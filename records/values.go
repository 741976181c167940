package records

import (
	"fmt"
	"time"

	"plumbrule/records/calendar"
	"plumbrule/records/quantity"
	"plumbrule/records/source"
)

// text is a key whose value is a string that is not empty.
func text[T any](name, doc string, at func(*T) *string) key[T] {
	return key[T]{
		name: name, form: "text", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if s, ok := d.text(n, name); ok {
				*at(into) = s
			}
		},
		write: func(w *writer, name string, from *T) { w.text(name, *at(from)) },
	}
}

// ident is a key whose value is the id of another record.
func ident[T any](name, doc string, at func(*T) *string) key[T] {
	k := text(name, doc, at)
	k.form = "id"
	k.read = func(d *decoder, n source.Node, into *T) {
		s, ok := d.text(n, name)
		if !ok {
			return
		}
		if !goodID(s) {
			d.report("bad-id", n.ValueOffset(), fmt.Sprintf("%s is %q, which cannot be an id", name, s), "write letters a-z and A-Z, digits, and - _ . inside, at most 64")
			return
		}
		*at(into) = s
	}
	return k
}

// word is a key that takes one of a few words.
func word[T any, S ~string](name, doc string, allowed []S, at func(*T) *S) key[T] {
	return key[T]{
		name: name, form: "one of " + listWords(allowed), doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if s, ok := readWord(d, n, name, allowed); ok {
				*at(into) = s
			}
		},
		write: func(w *writer, name string, from *T) { w.text(name, string(*at(from))) },
	}
}

// words is a key that takes a list of words.
func words[T any, S ~string](name, doc string, allowed []S, at func(*T) *[]S) key[T] {
	return key[T]{
		name: name, form: "list of " + listWords(allowed), doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			d.eachElement(n, name, func(e source.Node) {
				if s, ok := readWord(d, e, name, allowed); ok {
					*at(into) = append(*at(into), s)
				}
			})
		},
		write: func(w *writer, name string, from *T) { writeList(w, name, *at(from)) },
	}
}

// texts is a key whose value is a list of strings.
func texts[T any](name, form, doc string, at func(*T) *[]string) key[T] {
	return key[T]{
		name: name, form: form, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			d.eachElement(n, name, func(e source.Node) {
				if s, ok := d.text(e, name); ok {
					*at(into) = append(*at(into), s)
				}
			})
		},
		write: func(w *writer, name string, from *T) { writeList(w, name, *at(from)) },
	}
}

// date is a key whose value is a local date.
func date[T any](name, doc string, at func(*T) *calendar.Date) key[T] {
	return key[T]{
		name: name, form: "date, 2026-10-05", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := d.date(n, name); ok {
				*at(into) = v
			}
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); !v.IsZero() {
				w.raw(name, v.String())
			}
		},
	}
}

// instant is a key whose value is a date and time with its offset.
func instant[T any](name, doc string, at func(*T) *time.Time) key[T] {
	return key[T]{
		name: name, form: "date and time with offset, 2026-10-05T08:12:00+02:00", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := d.instant(n, name); ok {
				*at(into) = v
			}
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); !v.IsZero() {
				w.raw(name, formatInstant(v))
			}
		},
	}
}

// integer is a key whose value is a whole number within bounds.
func integer[T any](name, doc string, low, high int64, at func(*T) *int) key[T] {
	return key[T]{
		name: name, form: "whole number, " + span(low, high), doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := d.integer(n, name, low, high); ok {
				*at(into) = int(v)
			}
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); v != 0 {
				w.raw(name, fmt.Sprint(v))
			}
		},
	}
}

// span writes the bounds of a whole number.
func span(low, high int64) string {
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%d to %d", low, high)
}

// number is a key whose value is a positive number without unit.
func number[T any](name, doc string, at func(*T) *float64) key[T] {
	return key[T]{
		name: name, form: "number above zero", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			v, ok := d.number(n, name)
			if !ok {
				return
			}
			if v <= 0 {
				d.report("out-of-range", n.ValueOffset(), fmt.Sprintf("%s is %s, expected a number above zero", name, n.Source()), "leave the key out for the default")
				return
			}
			*at(into) = v
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); v != 0 {
				w.raw(name, formatNumber(v))
			}
		},
	}
}

// truth is a key whose value is true or false; false is written only when the
// key is needed.
func truth[T any](name, doc string, at func(*T) *bool) key[T] {
	return key[T]{
		name: name, form: "true or false", doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := d.truth(n, name); ok {
				*at(into) = v
			}
		},
		write: func(w *writer, name string, from *T) {
			if *at(from) {
				w.raw(name, "true")
			}
		},
	}
}

// written is a value that is written as text in a record.
type written interface {
	fmt.Stringer
	IsZero() bool
}

// inText is a key whose value is a quantity written as text with its unit.
func inText[T any, Q written](name, form, doc string, parse func(string) (Q, error), at func(*T) *Q) key[T] {
	return key[T]{
		name: name, form: form, doc: doc,
		read: func(d *decoder, n source.Node, into *T) {
			if v, ok := readQuantity(d, n, name, form, parse); ok {
				*at(into) = v
			}
		},
		write: func(w *writer, name string, from *T) {
			if v := *at(from); !v.IsZero() {
				w.text(name, v.String())
			}
		},
	}
}

// length is a key whose value is a length above zero.
func length[T any](name, doc string, at func(*T) *quantity.Length) key[T] {
	return inText(name, `length, "2.6 m"`, doc, positiveLength, at)
}

// period is a key whose value is an amount of calendar time.
func period[T any](name, doc string, at func(*T) *quantity.Interval) key[T] {
	return inText(name, `time, "12 months" or "7 days"`, doc, quantity.ParseInterval, at)
}
