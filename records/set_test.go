package records

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"plumbrule/records/quantity"
)

// TestChecksAreSortedByTime records two checks in the other order.
func TestChecksAreSortedByTime(t *testing.T) {
	files := goodFiles(t)
	const earlier = "checks/scan-02/2026/2026-09-28T0812-bar-weekly.toml"
	text := strings.Replace(string(files[checkFile].Data), "time = 2026-10-05", "time = 2026-09-28", 1)
	files[earlier] = &fstest.MapFile{Data: []byte(strings.Replace(text, "entered = 2026-10-05", "entered = 2026-10-06", 1))}
	set, found := Load(files, Options{At: evaluated})
	var order []string
	for _, k := range set.Checks["scan-02"] {
		order = append(order, k.File)
	}
	if len(found) > 0 || !slices.Equal(order, []string{earlier, checkFile}) {
		t.Errorf("%v\n%s", order, printed(found))
	}
}

func TestSortDiagnostics(t *testing.T) {
	place := func(line, column uint32) Position { return Position{Line: line, Column: column} }
	list := []Diagnostic{
		{File: "b"},
		{File: "a", Position: place(2, 1)},
		{File: "a", Position: place(1, 9), Code: "x"},
		{File: "a", Position: place(1, 9), Code: "c"},
		{File: "a", Position: place(1, 2), Code: "z"},
		{File: "a"},
	}
	SortDiagnostics(list)
	var got []string
	for _, d := range list {
		got = append(got, at(d.File, d.Position)+d.Code)
	}
	if want := []string{"a", "a:1:2z", "a:1:9c", "a:1:9x", "a:2:1", "b"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// TestLimitFor looks at the ends of ranges: over the first, up to the second.
func TestLimitFor(t *testing.T) {
	d := &Device{Limits: []Limit{
		{Quantity: Diameter, UpTo: quantity.Millimetres(50), Line: 1},
		{Quantity: Diameter, Over: quantity.Millimetres(50), UpTo: quantity.Metres(1), Line: 2},
		{Quantity: Distance, Line: 3},
	}}
	for _, c := range []struct {
		q    Quantity
		mm   float64
		line int
	}{{Diameter, 1e-9, 1}, {Diameter, 50, 1}, {Diameter, 50.000001, 2}, {Diameter, 1000, 2}, {Diameter, 1001, 0}, {Distance, 1e6, 3}, {Depth, 10, 0}, {Diameter, 0, 0}} {
		line := 0
		if l := d.LimitFor(c.q, c.mm); l != nil {
			line = l.Line
		}
		if line != c.line {
			t.Errorf("%s at %v mm: limit %d, want %d", c.q, c.mm, line, c.line)
		}
	}
}
