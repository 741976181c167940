package table_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
)

// golden compares with testdata/name; UPDATE_GOLDEN=1 writes it anew, for a person to look at.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := "testdata/" + name
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

func readings() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "feature"},
		{Title: "error", Unit: "µm", Align: table.Decimal},
		{Title: "limit ±", Unit: "µm", Align: table.Decimal, Optional: 1},
		{Title: "points", Align: table.Right, Optional: 2},
		{Title: "verdict"},
		{Title: "remark", Wrap: true},
	}}
	t.Add(table.Text("A"), table.Number("-0.4", -0.4123), table.Number("30", 30), table.Count(3), table.Word("pass", table.Good), table.Text(""))
	t.Add(table.Text("測定 A-C"), table.Number("−146.25", -146.25), table.Number("155.0", 155), table.Count(12), table.Word("fail", table.Bad),
		table.Text("the path travelled counts, 2.6 m, from the first measuring volume to the last one and no shorter"))
	t.Add(table.Text("e\u0301talon"), table.None(), table.None(), table.Count(0), table.Word("inconclusive", table.Doubtful), table.Text("not measured | see \x1b[31mred\x1b[0m \u202eabc"))
	return t
}

func TestPlain(t *testing.T) {
	for name, screen := range map[string]table.Screen{
		"plain-file.txt":        {},
		"plain-80.txt":          {Width: 80},
		"plain-132.txt":         {Width: 132},
		"plain-60.txt":          {Width: 60},
		"plain-30.txt":          {Width: 30},
		"plain-132-colours.txt": {Width: 132, Colour: true},
	} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			if err := readings().Plain(&out, screen); err != nil {
				t.Fatal(err)
			}
			golden(t, name, out.String())
			for line := range strings.Lines(out.String()) {
				line = strings.TrimSuffix(line, "\n")
				if strings.HasSuffix(line, " ") {
					t.Errorf("blanks at the end of %q", line)
				}
				if width := max(screen.Width, 58); screen.Width > 0 && show.Width(line) > width {
					t.Errorf("%q is wider than %d", line, width)
				}
			}
		})
	}
}

// Colour comes after padding: without its escape sequences the coloured table is the plain one.
func TestColourMovesNothing(t *testing.T) {
	var plain, coloured bytes.Buffer
	if err := readings().Plain(&plain, table.Screen{Width: 100}); err != nil {
		t.Fatal(err)
	}
	if err := readings().Plain(&coloured, table.Screen{Width: 100, Colour: true}); err != nil {
		t.Fatal(err)
	}
	stripped := strings.NewReplacer("\x1b[32m", "", "\x1b[33m", "", "\x1b[1;31m", "", "\x1b[0m", "").Replace(coloured.String())
	if diff := cmp.Diff(plain.String(), stripped); diff != "" {
		t.Error(diff)
	}
	if coloured.String() == stripped {
		t.Error("no colour")
	}
}

// A locale that counts µ and ± as two columns must not change a byte.
func TestLocaleMovesNothing(t *testing.T) {
	twwidth.SetEastAsian(true)
	defer twwidth.SetEastAsian(false)
	var out bytes.Buffer
	if err := readings().Plain(&out, table.Screen{}); err != nil {
		t.Fatal(err)
	}
	golden(t, "plain-file.txt", out.String())
}

// The highest rank goes first; of equal ones the one farthest right.
func TestOptionalColumnsGoInOrder(t *testing.T) {
	wide := table.Table{Columns: []table.Column{
		{Title: "must"}, {Title: "second", Optional: 1}, {Title: "first", Optional: 2}, {Title: "last", Optional: 1}, {Title: "stay"},
	}}
	cell := table.Text(strings.Repeat("x", 10))
	wide.Add(cell, cell, cell, cell, cell)
	for width, want := range map[int]string{58: "must second first last stay", 57: "must second last stay", 45: "must second stay", 33: "must stay", 9: "must stay"} {
		var out bytes.Buffer
		if err := wide.Plain(&out, table.Screen{Width: width}); err != nil {
			t.Fatal(err)
		}
		header, _, _ := strings.Cut(out.String(), "\n")
		if got := strings.Join(strings.Fields(header), " "); got != want {
			t.Errorf("at %d: %s, want %s", width, got, want)
		}
	}
}

func TestEmptyTable(t *testing.T) {
	empty := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "due"}}}
	for name, c := range map[string]struct {
		print func(*bytes.Buffer) error
		want  string
	}{
		"plain":    {func(w *bytes.Buffer) error { return empty.Plain(w, table.Screen{}) }, "device  due\n───────────\n"},
		"markdown": {func(w *bytes.Buffer) error { return empty.Markdown(w) }, "| device | due |\n|:-------|:----|\n"},
		"csv":      {func(w *bytes.Buffer) error { return empty.CSV(w) }, "device,due\n"},
	} {
		var out bytes.Buffer
		if err := c.print(&out); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.want, out.String()); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

func TestMistakesOfTheProgram(t *testing.T) {
	ragged := table.Table{Columns: []table.Column{{Title: "a"}, {Title: "b"}}}
	ragged.Add(table.Text("1"), table.Text("2"))
	ragged.Add(table.Text("1"))
	for _, c := range []struct {
		table table.Table
		want  string
	}{
		{ragged, "row 2 of the table has 1 cells, expected 2, one for each column"},
		{table.Table{}, "table without columns, expected at least one"},
	} {
		var out bytes.Buffer
		for _, err := range []error{c.table.Plain(&out, table.Screen{}), c.table.Markdown(&out), c.table.CSV(&out)} {
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v, want %s", err, c.want)
			}
		}
		if out.Len() > 0 {
			t.Errorf("printed %q", out.String())
		}
	}
}
