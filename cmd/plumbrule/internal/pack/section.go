package pack

import (
	"encoding/json"
	"io"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
)

// Section is a part of the page under a heading. Its texts are foreign.
type Section struct {
	ID    string // letters, digits and hyphens; names the heading
	Title string
	Lead  []string // sentences above
	Facts []Fact   // names and values in two columns
	Table *Table   // nil: none
	Drawn []Drawing
	Notes []string // sentences below
	Parts []Section
	Apart bool // begins a new page on paper
}

// Fact is a name with its value.
type Fact struct{ Name, Value string }

// Table is a table of the page, which is a file of its own as CSV and JSON too.
type Table struct {
	Name    string // of the files, without suffix; empty: it is none
	Caption string
	Table   table.Table
	Whole   *table.Table // what the files hold where the page shows less; nil: the same
	Widths  []int        // of the columns in per cent; empty: as the text needs
	None    string       // sentence that stands for a table without rows
}

// Drawing is a picture.
type Drawing struct {
	File    string // of its own that was added to the pack; empty: it stands in the page
	Caption string
	Alt     string
	SVG     []byte // of one that stands in the page
	Tall    bool   // takes a page on paper by itself
}

// files is what the files of a table hold.
func (t *Table) files() *table.Table {
	if t.Whole != nil {
		return t.Whole
	}
	return &t.Table
}

// tables yields the tables of sections and their parts.
func tables(list []Section, yield func(*Table) error) error {
	for i := range list {
		s := &list[i]
		if s.Table != nil {
			if err := yield(s.Table); err != nil {
				return err
			}
		}
		if err := tables(s.Parts, yield); err != nil {
			return err
		}
	}
	return nil
}

// rowsJSON prints the rows as objects, whose keys are the columns of the CSV.
// Figures are numbers, and one that does not exist is null.
func (t *Table) rowsJSON(w io.Writer) error {
	rows := []row{}
	whole := t.files()
	for _, cells := range whole.Rows {
		rows = append(rows, row{whole.Columns, cells})
	}
	return table.JSON(w, rows)
}

type row struct {
	columns []table.Column
	cells   []table.Cell
}

// MarshalJSON keeps the order of the columns.
func (r row) MarshalJSON() ([]byte, error) {
	var out strings.Builder
	out.WriteByte('{')
	for i, c := range r.columns {
		if i > 0 {
			out.WriteByte(',')
		}
		name, err := json.Marshal(c.Name())
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(r.cells[i].Raw)
		if err != nil {
			return nil, err
		}
		if c.Align != table.Left {
			switch text := r.cells[i].Raw; {
			case text == "":
				value = []byte("null")
			case json.Valid([]byte(text)):
				value = []byte(text)
			}
		}
		out.Write(name)
		out.WriteByte(':')
		out.Write(value)
	}
	out.WriteByte('}')
	return []byte(out.String()), nil
}

// longest is how many characters of one foreign text are shown. Sentences of
// reasons are shorter.
const longest = 600

// words makes foreign text safe to show. Its lines stay lines.
func words(text string) string {
	n := 0
	for i := range text {
		if n++; n > longest {
			text = text[:i] + "…"
			break
		}
	}
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = show.Text(lines[i])
	}
	return strings.Join(lines, "\n")
}
