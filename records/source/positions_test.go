package source

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// checkPositions tests what every accepted text must fulfil: a value's offset
// is the first byte of its text, its kind shows in that byte, a key's offset
// the first byte of the key, and children lie inside their inline parents.
func checkPositions(t interface{ Errorf(string, ...any) }, doc *Document) {
	var visit func(n Node)
	visit = func(n Node) {
		source := n.Source()
		if !strings.HasPrefix(doc.text[n.ValueOffset():], source) || n.Path() != "" && source == "" {
			t.Errorf("%s: text %q is not at %d", n.Path(), source, n.ValueOffset())
			return
		}
		first := byte(0)
		if source != "" {
			first = source[0]
		}
		fits := true
		switch n.Kind() {
		case String:
			fits = first == '"' || first == '\''
		case Bool:
			fits = source == "true" || source == "false"
		case Integer, Float:
			fits = strings.IndexByte("+-0123456789in", first) >= 0
		case OffsetDateTime, LocalDateTime, LocalDate, LocalTime:
			fits = isDigit(first)
		case Array:
			fits = first == '['
		case Table:
		case None:
			fits = false
		}
		if !fits {
			t.Errorf("%s: %v begins with %q", n.Path(), n.Kind(), first)
		}
		nd := n.at()
		if nd.keyStart != nd.keyEnd && keyText(doc.text[n.KeyOffset():nd.keyEnd]) != n.Key() {
			t.Errorf("%s: key %q is not at %d", n.Path(), n.Key(), n.KeyOffset())
		}
		for child := range n.Children() {
			visit(child)
		}
		for element := range n.Elements() {
			visit(element)
		}
	}
	visit(doc.Root())
}

// TestPositionsOfRandomRecords writes texts whose places are known beforehand.
func TestPositionsOfRandomRecords(t *testing.T) {
	values := []string{
		"29.9990", "-1_000", "0x1F", `"µm °C"`, `'C:\scan'`, "\"\"\"\nnote\n\"\"\"", "true", "1979-05-27", "07:32:00",
		"1979-05-27T07:32:00+02:00", "1979-05-27 07:32:00", "[1, [2, 3],\n # three\n 4,]", `{ a = 1, b.c = "x" }`, "nan", "-inf",
	}
	keys := []string{"a", "B", "2026", "-", `"temperature, °C"`, `'1.5'`, `"µ"`, "sub.x", `sub . "y z"`}
	blanks := rapid.SampledFrom([]string{"", " ", "\t", "  \t"})
	var parser Parser
	rapid.Check(t, func(t *rapid.T) {
		var text strings.Builder
		type place struct {
			key, value int
			written    string
		}
		var want []place
		end := rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(t, "line end")
		for section := range rapid.IntRange(1, 4).Draw(t, "sections") {
			if section > 0 {
				text.WriteString("[[reading]]" + end)
			}
			for _, key := range rapid.SliceOfNDistinct(rapid.SampledFrom(keys), 1, 5, rapid.ID[string]).Draw(t, "keys") {
				text.WriteString(blanks.Draw(t, "indent"))
				at := place{key: text.Len()}
				last := key
				if found := strings.Contains(key, "sub"); found {
					last = strings.TrimLeft(key[3:], " .")
				}
				at.key += len(key) - len(last)
				text.WriteString(key + blanks.Draw(t, "before") + "=" + blanks.Draw(t, "behind"))
				at.value = text.Len()
				at.written = rapid.SampledFrom(values).Draw(t, "value")
				text.WriteString(at.written + rapid.SampledFrom([]string{"", " # remark", "  "}).Draw(t, "rest") + end)
				want = append(want, at)
			}
		}
		doc, fault := parser.Parse([]byte(text.String()))
		if fault != nil {
			t.Fatalf("refused: %v\n%s", fault, Excerpt(text.String(), fault.Offset))
		}
		got := make(map[int]Node)
		for i := range doc.nodes {
			if nd := doc.nodes[i]; nd.origin == written && nd.keyStart != nd.keyEnd {
				got[int(nd.keyStart)] = Node{doc, uint32(i)}
			}
		}
		for _, at := range want {
			n, ok := got[at.key]
			if !ok || n.ValueOffset() != at.value || n.Source() != at.written {
				t.Fatalf("key at %d: value %q at %d, want %q at %d\n%s",
					at.key, n.Source(), n.ValueOffset(), at.written, at.value, text.String())
			}
		}
		checkPositions(t, doc)
		if err := CrossCheck([]byte(text.String()), doc); err != nil {
			t.Fatal(err)
		}
	})
}

// TestPositionOf counts runes, a tab as one, and no byte order mark.
func TestPositionOf(t *testing.T) {
	text := byteOrderMark + "a = \"µm\"\t# °\r\n\tb = 1\n"
	tests := []struct {
		at   string
		want string
	}{
		{"a", "1:1"}, {"µ", "1:6"}, {"m", "1:7"}, {"#", "1:10"}, {"°", "1:12"}, {"\r", "1:13"}, {"b", "2:2"}, {"1\n", "2:6"},
	}
	for _, test := range tests {
		if got := positionOf(text, strings.Index(text, test.at)).String(); got != test.want {
			t.Errorf("%q at %s, want %s", test.at, got, test.want)
		}
	}
	for offset, want := range map[int]string{-1: "1:1", 0: "1:1", len(text): "3:1", 1000: "3:1"} {
		if got := fmt.Sprint(positionOf(text, offset)); got != want {
			t.Errorf("offset %d at %s, want %s", offset, got, want)
		}
	}
}
