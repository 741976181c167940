package table

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
)

// Align says where the cells of a column stand.
type Align int

// The alignments. Decimal puts decimal points below each other.
const (
	Left Align = iota
	Right
	Decimal
)

// Column describes one column.
type Column struct {
	Title string // as people read it, in lower case; also the name in CSV, with the unit behind it
	Unit  string // empty for words and pure numbers
	Align Align

	// Optional is 0 for a column that must stay. Others are left out on a terminal too narrow for all, the highest first.
	Optional int

	// Wrap allows the cells to be broken over several lines.
	Wrap bool
}

func (c Column) header() string {
	if c.Unit == "" {
		return c.Title
	}
	return c.Title + " (" + c.Unit + ")"
}

// Tone is what a word means to the reader's mood. It is never the only carrier: the word says the same.
type Tone int

// The tones.
const (
	Neutral Tone = iota
	Good
	Doubtful
	Bad
)

// Cell is one entry: what people read and what programs read. The zero value is empty in both.
type Cell struct {
	Shown string
	Raw   string
	Tone  Tone
}

// Text is a cell that reads the same for people and programs.
func Text(text string) Cell { return Cell{Shown: text, Raw: text} }

// Word is a text with a tone.
func Word(text string, tone Tone) Cell { return Cell{Shown: text, Raw: text, Tone: tone} }

// Number is a figure, rounded for people and unrounded for programs. One that is not finite is [None].
func Number(shown string, value float64) Cell {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return None()
	}
	return Cell{Shown: shown, Raw: show.Shortest(value)}
}

// Count is a whole number.
func Count(n int) Cell { return Text(fmt.Sprint(n)) }

// None is a figure that does not exist: "none" for people, empty for programs.
func None() Cell { return Cell{Shown: "none"} }

// Table is what to print. Every row has one cell for each column; a row that has not is a mistake of the program that
// made the table, and every form of printing returns an error for it.
type Table struct {
	Columns []Column
	Rows    [][]Cell
}

// Add appends a row.
func (t *Table) Add(cells ...Cell) { t.Rows = append(t.Rows, cells) }

func (t Table) check() error {
	if len(t.Columns) == 0 {
		return fmt.Errorf("table without columns, expected at least one")
	}
	for i, row := range t.Rows {
		if len(row) != len(t.Columns) {
			return fmt.Errorf("row %d of the table has %d cells, expected %d, one for each column", i+1, len(row), len(t.Columns))
		}
	}
	return nil
}

// texts returns headers and cells as people read them, safe to print.
func (t Table) texts() (headers []string, rows [][]string) {
	for _, c := range t.Columns {
		headers = append(headers, show.Text(c.header()))
	}
	for _, row := range t.Rows {
		var cells []string
		for _, cell := range row {
			cells = append(cells, show.Text(cell.Shown))
		}
		rows = append(rows, cells)
	}
	return headers, rows
}

// alignDecimals pads the cells of a column so that their decimal points come to stand below each other once the column
// is aligned to the right. Words (none, a name) are left alone.
func alignDecimals(rows [][]string, column int) {
	longest := 0
	for _, row := range rows {
		longest = max(longest, fraction(row[column]))
	}
	for _, row := range rows {
		if f := fraction(row[column]); f >= 0 {
			row[column] += strings.Repeat(" ", longest-f)
		}
	}
}

// fraction returns the width of what follows the whole part of a number, the point included; -1 if text has no digit.
func fraction(text string) int {
	first := strings.IndexAny(text, "0123456789")
	if first < 0 {
		return -1
	}
	whole := first
	for whole < len(text) && text[whole] >= '0' && text[whole] <= '9' {
		whole++
	}
	return show.Width(text[whole:])
}
