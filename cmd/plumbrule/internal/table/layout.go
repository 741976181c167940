package table

import (
	"slices"
	"strings"

	"github.com/olekukonko/tablewriter/tw"

	"plumbrule/cmd/plumbrule/internal/show"
)

const (
	narrowest  = 12 // below this width a wrapped column is no longer readable
	easyHeader = 8  // down to this width a header is folded; a tower of short words helps nobody
)

// layout is a table made to fit: the columns that stay, their headers and cells, broken with line feeds.
type layout struct {
	table   Table
	columns []int // indexes into the table's columns
	headers []string
	rows    [][]string
}

// layout fits the table to a screen, in the order of least loss.
func (t Table) layout(screen Screen) layout {
	headers, rows := t.texts()
	l := layout{table: t, headers: headers, rows: rows}
	for i, c := range t.Columns {
		l.columns = append(l.columns, i)
		if c.Align == Decimal {
			alignDecimals(rows, i)
		}
	}
	width := screen.Width
	if width <= 0 {
		width = DefaultWidth
	}
	if l.excess(width) > 0 {
		l.foldHeaders()
	}
	for screen.Width > 0 && l.excess(width) > 0 && l.dropOne() {
		continue
	}
	if over := l.excess(width); over > 0 {
		l.wrap(over)
	}
	l.lowerHeaders()
	return l
}

// excess returns how many columns of the screen the table is too wide.
func (l *layout) excess(width int) int {
	total := len(gap) * (len(l.columns) - 1)
	for i := range l.columns {
		total += max(wide(l.headers[i]), l.bodyWidth(i))
	}
	return total - width
}

func (l *layout) bodyWidth(i int) int {
	width := 0
	for _, row := range l.rows {
		width = max(width, wide(row[i]))
	}
	return width
}

// wide returns the width of the widest of the text's lines.
func wide(text string) int {
	width := 0
	for line := range strings.SplitSeq(text, "\n") {
		width = max(width, show.Width(line))
	}
	return width
}

// foldHeaders breaks headers that are wider than everything below them, between words only.
func (l *layout) foldHeaders() {
	for i, header := range l.headers {
		width := max(l.bodyWidth(i), easyHeader)
		for word := range strings.FieldsSeq(header) {
			width = max(width, show.Width(word))
		}
		l.headers[i] = strings.Join(show.Lines(header, width), "\n")
	}
}

// dropOne leaves out the most dispensable column; of equal ones the one farthest right. It reports whether there was one.
func (l *layout) dropOne() bool {
	drop, rank := -1, 0
	for i, column := range l.columns {
		if optional := l.table.Columns[column].Optional; optional > 0 && optional >= rank {
			drop, rank = i, optional
		}
	}
	if drop < 0 {
		return false
	}
	l.columns = slices.Delete(l.columns, drop, drop+1)
	l.headers = slices.Delete(l.headers, drop, drop+1)
	for i := range l.rows {
		l.rows[i] = slices.Delete(l.rows[i], drop, drop+1)
	}
	return true
}

// wrap takes the excess from the columns that may be wrapped, always from the widest of them.
func (l *layout) wrap(over int) {
	widths := map[int]int{}
	for i, column := range l.columns {
		if l.table.Columns[column].Wrap {
			widths[i] = max(wide(l.headers[i]), l.bodyWidth(i))
		}
	}
	for ; over > 0; over-- {
		widest := -1
		for i := range l.columns {
			if w, wraps := widths[i]; wraps && w > max(narrowest, wide(l.headers[i])) && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	for i, width := range widths {
		for _, row := range l.rows {
			if wide(row[i]) > width {
				row[i] = strings.Join(show.Lines(row[i], width), "\n")
			}
		}
	}
}

// lowerHeaders fills folded headers up from above, so that the short ones stand next to the rule.
func (l *layout) lowerHeaders() {
	most := 0
	for _, header := range l.headers {
		most = max(most, strings.Count(header, "\n"))
	}
	for i, header := range l.headers {
		l.headers[i] = strings.Repeat("\n", most-strings.Count(header, "\n")) + header
	}
}

func (l *layout) alignment() []tw.Align {
	return alignment(l.table.Columns, l.columns)
}

func alignment(columns []Column, chosen []int) []tw.Align {
	var out []tw.Align
	for _, i := range chosen {
		if columns[i].Align == Left {
			out = append(out, tw.AlignLeft)
		} else {
			out = append(out, tw.AlignRight)
		}
	}
	return out
}
