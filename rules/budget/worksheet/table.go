package worksheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"plumbrule/records/source"
	"plumbrule/records/spelling"
)

// table is one table of the file, its keys all known.
type table struct {
	*reader
	header string
	node   source.Node
	keys   map[string]source.Node
}

// open takes the keys of a table and refuses those that mean nothing there.
func (r *reader) open(header string, n source.Node) table {
	t := table{reader: r, header: header, node: n, keys: map[string]source.Node{}}
	known := names(header)
	for child := range n.Children() {
		if slices.Contains(known, child.Key()) {
			t.keys[child.Key()] = child
			continue
		}
		mend := "its keys are " + strings.Join(known, ", ")
		if near := spelling.Nearest(child.Key(), known); near != "" {
			mend = "did you mean " + near + "?"
		}
		r.fault(child.KeyOffset(), mend, "key %q is none of this table's", child.Key())
	}
	for _, t2 := range Tables() {
		if t2.Header != header {
			continue
		}
		for _, k := range t2.Keys {
			if k.Needed && !t.has(k.Name) {
				r.fault(n.ValueOffset(), "add "+k.Name+" ("+k.Form+")", "key %s is missing", k.Name)
			}
		}
	}
	return t
}

func (t table) has(key string) bool {
	_, there := t.keys[key]
	return there
}

// value places a fault at a key's value, or at the table where there is none.
func (t table) value(key string) int {
	if n, there := t.keys[key]; there {
		return n.ValueOffset()
	}
	return t.node.ValueOffset()
}

// key places a fault at a key itself.
func (t table) key(key string) int { return t.keys[key].KeyOffset() }

// wrong says that a value is of a kind the key does not take.
func (t table) wrong(n source.Node, key, want, mend string) {
	kind := n.Kind().String()
	switch n.Kind() {
	case source.Array:
		kind = "a list"
	case source.Table:
		kind = "a table"
	case source.String, source.Bool:
	default:
		kind = "a " + kind
	}
	t.fault(n.ValueOffset(), mend, "%s is %s, expected %s", key, kind, want)
}

// text reads a text; empty if there is none or it is refused.
func (t table) text(key string) string {
	n, there := t.keys[key]
	if !there {
		return ""
	}
	s, ok := n.Text()
	switch {
	case !ok:
		t.wrong(n, key, "text in quotes", "write it in quotes")
	case strings.TrimSpace(s) == "":
		t.fault(n.ValueOffset(), "write the text", "%s is empty", key)
	}
	return strings.TrimSpace(s)
}

// most bounds the size of numbers, far above any figure in any unit.
const most = 1e100

// number reads a number; ok is false if there is none or it is refused.
func (t table) number(key string) (v float64, ok bool) {
	n, there := t.keys[key]
	if !there {
		return 0, false
	}
	return t.numberAt(n, key)
}

func (t table) numberAt(n source.Node, key string) (float64, bool) {
	v, ok := n.Float()
	switch {
	case n.Kind() == source.String:
		t.wrong(n, key, "a number", "write it without quotes and without a unit; unit says the unit")
	case n.Kind() != source.Float && n.Kind() != source.Integer:
		t.wrong(n, key, "a number", "")
	case !ok:
		t.fault(n.ValueOffset(), "write it with a decimal point", "%s is %s, expected at most 2^53, up to which whole numbers are exact", key, n.Source())
	case math.IsNaN(v) || math.Abs(v) > most:
		t.fault(n.ValueOffset(), "check the exponent", "%s is %s, expected a finite number within 1e100 of 0", key, n.Source())
	default:
		return v, true
	}
	return 0, false
}

// above0 reads a number above 0.
func (t table) above0(key, mend string) (float64, bool) {
	v, ok := t.number(key)
	if ok && v <= 0 {
		t.fault(t.value(key), mend, "%s is %s, expected a number above 0", key, t.keys[key].Source())
		return 0, false
	}
	return v, ok
}

// between reads a number of a closed interval.
func (t table) between(key string, low, high float64, form, mend string) (float64, bool) {
	v, ok := t.number(key)
	if ok && !(v >= low && v <= high) {
		t.fault(t.value(key), mend, "%s is %s, expected %s", key, t.keys[key].Source(), form)
		return 0, false
	}
	return v, ok
}

// fraction reads a share such as "95 %" or 0.95.
func (t table) fraction(key string, low, high float64, form string) (float64, bool) {
	n, there := t.keys[key]
	if !there {
		return 0, false
	}
	if text, is := n.Text(); is {
		v, err := ParsePercent(text)
		if err != nil {
			t.fault(n.ValueOffset(), `write it as "95 %"`, "%s is %s", key, err)
			return 0, false
		}
		if !(v >= low && v <= high) {
			t.fault(n.ValueOffset(), "", "%s is %q, expected %s", key, text, form)
			return 0, false
		}
		return v, true
	}
	v, ok := t.numberAt(n, key)
	if ok && !(v >= low && v <= high) {
		mend := ""
		if v > 1 {
			mend = fmt.Sprintf(`write "%s %%"`, n.Source())
		}
		t.fault(n.ValueOffset(), mend, "%s is %s, expected %s", key, n.Source(), form)
		return 0, false
	}
	return v, ok
}

// word reads one of a few words.
func word[S ~string](t table, key string, allowed []S) (S, bool) {
	s := t.text(key)
	if s == "" {
		return "", false
	}
	var plain []string
	for _, w := range allowed {
		if string(w) == s {
			return w, true
		}
		plain = append(plain, string(w))
	}
	mend := ""
	if near := spelling.Nearest(s, plain); near != "" {
		mend = fmt.Sprintf("did you mean %q?", near)
	}
	t.fault(t.value(key), mend, "%s is %q, expected one of %s", key, s, words(allowed))
	return "", false
}

// elements returns the elements of a list with at least so many.
func (t table) elements(key string, least int) []source.Node {
	n, there := t.keys[key]
	if !there {
		return nil
	}
	if n.Kind() != source.Array {
		t.wrong(n, key, "a list in square brackets", "write ["+n.Source()+"]")
		return nil
	}
	all := slices.Collect(n.Elements())
	if len(all) < least {
		t.fault(n.ValueOffset(), "", "%s has %d, expected %d or more", key, len(all), least)
		return nil
	}
	return all
}

// tables returns the tables of an array of tables.
func (t table) tables(key string) []source.Node {
	n, there := t.keys[key]
	if !there {
		return nil
	}
	all := slices.Collect(n.Elements())
	for _, e := range all {
		if e.Kind() != source.Table {
			all = nil
			break
		}
	}
	if n.Kind() != source.Array || len(all) == 0 {
		t.fault(n.ValueOffset(), "write [["+key+"]] above each", "%s is no array of tables", key)
		return nil
	}
	return all
}
