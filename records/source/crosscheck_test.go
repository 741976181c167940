package source

import (
	"strings"
	"testing"
)

// TestCrossCheckFinds changes a good reading in every way that matters and
// expects the difference to be named.
func TestCrossCheckFinds(t *testing.T) {
	const text = "a = 1\nb = [1.5, 2.5]\nd = 2026-10-05\n[[r]]\ns = 'x'\n"
	tests := []struct {
		name   string
		change func(d *Document)
		want   string
	}{
		{"value", func(d *Document) { d.nodes[1].start, d.nodes[1].end = 11, 14 }, "a is read as"},
		{"kind", func(d *Document) { d.nodes[1].kind = Float }, "a is read as decimal number"},
		{"element", func(d *Document) { d.nodes[3].start, d.nodes[3].end = 16, 19 }, "b[0] is read as"},
		{"date", func(d *Document) { d.nodes[5].kind = LocalTime }, "d is read as"},
		{"key", func(d *Document) { d.nodes[1].keyStart, d.nodes[1].keyEnd = 6, 7 }, "key 1 is read as"},
		{"missing", func(d *Document) { d.nodes[2].first = d.nodes[2].last; d.nodes[2].length = 1 }, "b is read as 1 elements"},
		{"string", func(d *Document) { d.nodes[8].kind = Bool }, "r[0].s is read as"},
		{"count", func(d *Document) { d.nodes[0].length++ }, "the whole text is read as 5 keys"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			doc := mustParse(t, text).Clone()
			test.change(doc)
			if err := CrossCheck([]byte(text), doc); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v, want …%s…", err, test.want)
			}
		})
	}
	zero := mustParse(t, "a = -0.0").Clone()
	zero.nodes[1].start++
	if err := CrossCheck([]byte("a = -0.0"), zero); err == nil {
		t.Error("the sign of zero passes")
	}
	if err := CrossCheck([]byte("a = 1"), mustParse(t, text)); err == nil {
		t.Error("another text passes")
	}
}

// TestClone outlives the next text, and strings outlive the bytes read.
func TestClone(t *testing.T) {
	var parser Parser
	text := []byte("a = 'first'\n")
	doc, fault := parser.Parse(text)
	if fault != nil {
		t.Fatal(fault)
	}
	kept := doc.Clone()
	copy(text, "b.c.d.e = 4\n")
	if _, fault = parser.Parse(text); fault != nil {
		t.Fatal(fault)
	}
	a, ok := kept.Root().Child("a")
	if got, _ := a.Text(); !ok || got != "first" {
		t.Errorf("%q", got)
	}
}

// TestNoNode: what a failed lookup returns answers every question.
func TestNoNode(t *testing.T) {
	n, ok := mustParse(t, "a = 1\n").Root().Child("b")
	_, isText := n.Text()
	_, isNumber := n.Float()
	_, isBool := n.Bool()
	_, isInstant := n.Instant()
	_, found := n.Child("c")
	if ok || isText || isNumber || isBool || isInstant || found || n.Kind() != None || n.Len() != 0 ||
		n.Key()+n.Source()+n.Path() != "" || n.KeyOffset()+n.ValueOffset() != 0 {
		t.Errorf("%v", n)
	}
	for range n.Elements() {
		t.Error("an element")
	}
}
