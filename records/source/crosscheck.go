package source

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// CrossCheck reads the text a second time with github.com/BurntSushi/toml and
// compares every key, in document order, and every value with doc. A nil error
// means both readings are equal; otherwise the error names the path, the line
// and both readings. Not-a-number equals not-a-number here.
func CrossCheck(text []byte, doc *Document) error {
	if string(text) != doc.text {
		return fmt.Errorf("the document was read from another text")
	}
	table, meta, err := decodeWithLibrary(doc.text)
	if err != nil {
		return fmt.Errorf("the library refuses a text that was read: %w", err)
	}
	keys := doc.writtenKeys()
	theirs := meta.Keys()
	for i := range max(len(keys), len(theirs)) {
		ours, library := "no further key", "no further key"
		var place Position
		if i < len(keys) {
			ours, place = keys[i].keyPath(), doc.PositionOf(keys[i].KeyOffset())
		}
		if i < len(theirs) {
			library = joinKeys(theirs[i])
		}
		if ours != library {
			return fmt.Errorf("%v: key %d is read as %s here and as %s by the library", place, i+1, ours, library)
		}
	}
	return compareTable(doc.Root(), table)
}

// writtenKeys returns the nodes that a key in the text defines, in the order of
// the text: no elements of bracketed arrays, no tables that were only named on
// the way.
func (d *Document) writtenKeys() []Node {
	var keys []Node
	for i := 1; i < len(d.nodes); i++ {
		nd := &d.nodes[i]
		if nd.keyStart == nd.keyEnd || nd.origin == implied || nd.origin == dotted || nd.origin == repeated {
			continue
		}
		keys = append(keys, Node{d, uint32(i)})
	}
	slices.SortFunc(keys, func(a, b Node) int { return a.KeyOffset() - b.KeyOffset() })
	return keys
}

// keyPath joins the keys from the root as the library lists them, without
// positions in arrays.
func (n Node) keyPath() string {
	var parts []string
	for i := n.index; i != 0; i = n.doc.nodes[i].parent {
		nd := &n.doc.nodes[i]
		if nd.keyStart != nd.keyEnd && nd.origin != repeated {
			parts = append(parts, Node{n.doc, i}.Key())
		}
	}
	slices.Reverse(parts)
	return joinKeys(parts)
}

func joinKeys(parts []string) string {
	quoted := make([]string, len(parts))
	for i, part := range parts {
		quoted[i] = quoteKey(part)
	}
	return strings.Join(quoted, ".")
}

func compareTable(n Node, library map[string]any) error {
	if n.Len() != len(library) {
		return differ(n, fmt.Sprintf("%d keys", n.Len()), fmt.Sprintf("%d keys", len(library)))
	}
	for child := range n.Children() {
		value, ok := library[child.Key()]
		if !ok {
			return differ(child, child.Kind().String(), "nothing")
		}
		if err := compareValue(child, value); err != nil {
			return err
		}
	}
	return nil
}

func compareArray[T any](n Node, library []T) error {
	if n.Len() != len(library) {
		return differ(n, fmt.Sprintf("%d elements", n.Len()), fmt.Sprintf("%d elements", len(library)))
	}
	i := 0
	for element := range n.Elements() {
		if err := compareValue(element, library[i]); err != nil {
			return err
		}
		i++
	}
	return nil
}

func compareValue(n Node, library any) error {
	same := false
	switch value := library.(type) {
	case map[string]any:
		if n.Kind() == Table {
			return compareTable(n, value)
		}
	case []any:
		if n.Kind() == Array {
			return compareArray(n, value)
		}
	case []map[string]any:
		if n.Kind() == Array {
			return compareArray(n, value)
		}
	case string:
		ours, ok := n.Text()
		same = ok && ours == value
	case int64:
		ours, ok := n.Integer()
		same = ok && ours == value
	case float64:
		ours, ok := n.Float()
		same = ok && n.Kind() == Float && (ours == value && math.Signbit(ours) == math.Signbit(value) ||
			math.IsNaN(ours) && math.IsNaN(value))
	case bool:
		ours, ok := n.Bool()
		same = ok && ours == value
	case time.Time:
		same = sameTime(n, value)
	}
	if !same {
		return differ(n, n.Kind().String()+" "+quoteToken(n.Source()), fmt.Sprintf("%T %v", library, library))
	}
	return nil
}

// sameTime compares the parts as written; the library puts times without
// offset into the machine's zone and names that zone after the kind.
func sameTime(n Node, library time.Time) bool {
	c, wrong := parseCivil(n.Source())
	if wrong != nil {
		return false
	}
	_, offset := library.Zone()
	kind := OffsetDateTime
	switch library.Location().String() {
	case "datetime-local":
		kind, offset = LocalDateTime, 0
	case "date-local":
		kind, offset = LocalDate, 0
	case "time-local":
		kind, offset = LocalTime, 0
	}
	year, month, day := library.Date()
	theirs := civil{
		kind: kind, year: year, month: int(month), day: day, offset: offset,
		hour: library.Hour(), minute: library.Minute(), second: library.Second(), nano: library.Nanosecond(),
	}
	if kind == LocalTime {
		theirs.year, theirs.month, theirs.day = 0, 0, 0
	}
	return n.Kind() == kind && c == theirs
}

func differ(n Node, ours, library string) error {
	path := n.Path()
	if path == "" {
		path = "the whole text"
	}
	return fmt.Errorf("%v: %s is read as %s here and as %s by the library", n.doc.PositionOf(n.ValueOffset()), path, ours, library)
}
