package show

import (
	"strings"

	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

// Width returns how many columns of a terminal a line takes: East Asian wide letters two, combining marks none, escape
// sequences for colour none. Letters of ambiguous width (µ, ±, °) count one whatever the locale says, so that the same
// table has the same bytes everywhere.
func Width(line string) int { return twwidth.WidthWithOptions(line, twwidth.Options{}) }

// Lines breaks text at blanks into lines of at most width columns; a longer word is broken, but never before a mark
// that belongs to the letter in front of it. Runs of blanks become one. Text without a word is one empty line.
func Lines(text string, width int) []string {
	width = max(width, 2) // a wide letter needs two columns
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && Width(line)+1+Width(word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for Width(word) > width {
			cut := fitting(word, width)
			lines = append(lines, word[:cut])
			word = word[cut:]
		}
		line = word
	}
	return append(lines, line)
}

// fitting returns the length in bytes of the longest beginning that is at most width columns wide, marks included.
func fitting(word string, width int) int {
	used := 0
	for i, r := range word {
		if used += Width(string(r)); used > width {
			return i
		}
	}
	return len(word)
}

// Paragraph breaks text into lines of at most width columns and hangs all but the first behind indent blanks.
func Paragraph(text string, width, indent int) string {
	first := Lines(text, width)
	if len(first) == 1 {
		return first[0] + "\n"
	}
	rest := Lines(strings.TrimPrefix(strings.Join(strings.Fields(text), " "), first[0]), width-indent)
	margin := strings.Repeat(" ", indent)
	return first[0] + "\n" + margin + strings.Join(rest, "\n"+margin) + "\n"
}
