package routefile

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"plumbrule/records/quantity"
	"plumbrule/records/source"
	"plumbrule/records/spelling"
	"plumbrule/rules/route/space"
)

// reader reads values and collects what is wrong with them.
type reader struct {
	name     string
	doc      *source.Document
	unit     quantity.Length // 1 of the unit of bare figures; not stated: there is none
	problems []Problem
}

// mostProblems is how many problems of one file are told.
const mostProblems = 50

func (r *reader) fail(offset int, message, mend string) {
	if len(r.problems) < mostProblems {
		r.problems = append(r.problems, r.problem(offset, message, mend))
	}
}

func (r *reader) problem(offset int, message, mend string) Problem {
	return Problem{r.name, r.doc.PositionOf(offset), message, mend, source.Excerpt(r.doc.Text(), offset)}
}

// key is one that a table may have.
type key struct {
	name   string
	needed bool
	read   func(source.Node)
}

// table reads the keys of a table; what is its name in messages.
func (r *reader) table(n source.Node, what string, keys []key) {
	if n.Kind() != source.Table {
		r.wrong(n, what, "a table")
		return
	}
	var names []string
	for _, k := range keys {
		names = append(names, k.name)
		if _, is := n.Child(k.name); k.needed && !is {
			r.fail(n.ValueOffset(), fmt.Sprintf("%s has no %s, expected one", what, k.name), "add "+k.name+" = …")
		}
	}
	for child := range n.Children() {
		known := false
		for _, k := range keys {
			if k.name == child.Key() {
				known = true
				k.read(child)
			}
		}
		if !known {
			mend := "its keys are " + strings.Join(names, ", ")
			if near := spelling.Nearest(child.Key(), names); near != "" {
				mend = fmt.Sprintf("did you mean %s?", near)
			}
			r.fail(child.KeyOffset(), fmt.Sprintf("key %q is none of %s", child.Key(), what), mend)
		}
	}
}

// each reads the tables of an array of tables.
func (r *reader) each(n source.Node, what string, read func(source.Node)) {
	if n.Kind() != source.Array {
		r.wrong(n, what, "an array of tables, [["+what+"]]")
		return
	}
	for e := range n.Elements() {
		read(e)
	}
}

func (r *reader) wrong(n source.Node, what, expected string) {
	kind := n.Kind().String()
	if n.Kind() == source.Array {
		kind = "list"
	}
	r.fail(n.ValueOffset(), fmt.Sprintf("%s is a %s, expected %s", what, kind, expected), "")
}

func (r *reader) text(n source.Node, into *string) {
	s, ok := n.Text()
	switch {
	case !ok:
		r.wrong(n, n.Key(), "text in quotes")
	case strings.TrimSpace(s) == "":
		r.fail(n.ValueOffset(), n.Key()+" is empty", "write the text, or leave the key out")
	default:
		*into = strings.Clone(s)
	}
}

func (r *reader) truth(n source.Node, into *bool) {
	v, ok := n.Bool()
	if !ok {
		r.wrong(n, n.Key(), "true or false, without quotes")
	}
	*into = v
}

// list reads a list of texts.
func (r *reader) list(n source.Node, into *[]string) {
	if n.Kind() != source.Array {
		r.wrong(n, n.Key(), "a list of names in square brackets")
		return
	}
	for e := range n.Elements() {
		s, ok := e.Text()
		if !ok {
			r.wrong(e, n.Key(), "names in quotes")
			return
		}
		*into = append(*into, strings.Clone(s))
	}
}

// length reads a length: text with its unit, or a bare figure in the file's unit.
func (r *reader) length(n source.Node, what string) (quantity.Length, bool) {
	var l quantity.Length
	switch n.Kind() {
	case source.String:
		text, _ := n.Text()
		var err error
		if l, err = quantity.ParseLength(text); err != nil {
			r.quantity(n, what, err)
			return l, false
		}
	case source.Integer, source.Float:
		v, ok := n.Float()
		switch {
		case !ok || math.IsNaN(v) || math.IsInf(v, 0):
			r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected a finite number", what, n.Source()), "look at the digits")
			return l, false
		case r.unit.IsZero():
			r.fail(n.ValueOffset(), fmt.Sprintf("%s is the bare figure %s, and the file states no unit", what, n.Source()),
				`write unit = "mm" at the head of the file, or the figure with its unit in quotes`)
			return l, false
		}
		// The number as written, so that 0.4 in metres is 400 mm and not a binary neighbour; 1_000 and 0x10 by their value.
		var err error
		if l, err = quantity.ParseLength(n.Source() + strings.TrimPrefix(r.unit.String(), "1")); err != nil {
			l = quantity.Millimetres(v * r.unit.Millimetres())
		}
	default:
		r.wrong(n, what, `a length, such as 400 or "400 mm"`)
		return l, false
	}
	if !(math.Abs(l.Millimetres()) <= space.Largest) {
		r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected at most 1000 km", what, n.Source()), "look at the digits and the unit")
		return l, false
	}
	return l, true
}

// above0 reads a length that must be above 0; 1 mm stands for one that is not, which has been told.
func (r *reader) above0(n source.Node, what string) quantity.Length {
	l, ok := r.length(n, what)
	if ok && !(l.Millimetres() > 0) {
		r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected a length above 0", what, n.Source()), "")
	}
	if !ok || !(l.Millimetres() > 0) {
		return quantity.Millimetres(1)
	}
	return l
}

// from0 reads a length that must not be below 0.
func (r *reader) from0(n source.Node, what string) quantity.Length {
	l, ok := r.length(n, what)
	if ok && l.Millimetres() < 0 {
		r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected a length of 0 or more", what, n.Source()), "")
	}
	if !ok {
		return quantity.Millimetres(0)
	}
	return l
}

// quantity tells what is wrong with a text that should be one.
func (r *reader) quantity(n source.Node, what string, err error) {
	offset, mend := n.ValueOffset(), ""
	if fault, is := errors.AsType[*quantity.Error](err); is {
		mend = fault.Mend
		if len(n.Source()) == len(fault.Text)+2 { // no escapes: the place within the text is the place in the file
			offset += 1 + fault.Start
		}
	}
	r.fail(offset, what+": "+err.Error(), mend)
}

// place reads three lengths.
func (r *reader) place(n source.Node, what string) (p space.Point) {
	if n.Kind() != source.Array || n.Len() != 3 {
		found := "a " + n.Kind().String()
		if n.Kind() == source.Array {
			found = strconv.Itoa(n.Len()) + " of them"
		}
		r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected three figures, [x, y, z]", what, found), "")
		return p
	}
	i := 0
	for e := range n.Elements() {
		if l, ok := r.length(e, what+", "+string("xyz"[i])); ok {
			p[i] = l.Millimetres()
		}
		i++
	}
	return p
}

// size reads three lengths above 0.
func (r *reader) size(n source.Node, what string) space.Point {
	before := len(r.problems)
	p := r.place(n, what)
	for _, side := range p {
		if len(r.problems) == before && !(side > 0) {
			r.fail(n.ValueOffset(), fmt.Sprintf("%s is %s, expected three lengths above 0", what, n.Source()), "")
		}
	}
	return p
}
