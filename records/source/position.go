package source

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

const byteOrderMark = "\ufeff"

// Position is a place in a text for people: line and column, both counted
// from 1. A column is one rune, a tab too; a byte order mark counts for
// nothing.
type Position struct {
	Line, Column uint32
}

// String returns line:column.
func (p Position) String() string {
	return strconv.FormatUint(uint64(p.Line), 10) + ":" + strconv.FormatUint(uint64(p.Column), 10)
}

// positionOf finds the place of a byte offset; an offset outside the text is
// moved to its nearest end. A line ends behind its line feed.
func positionOf(text string, offset int) Position {
	offset = max(0, min(offset, len(text)))
	start := strings.LastIndexByte(text[:offset], '\n') + 1
	line := 1 + strings.Count(text[:start], "\n")
	column := 1 + utf8.RuneCountInString(text[start:offset])
	if start == 0 && strings.HasPrefix(text[:offset], byteOrderMark) {
		column--
	}
	return Position{Line: uint32(line), Column: uint32(column)}
}
