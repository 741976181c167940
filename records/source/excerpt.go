package source

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// excerptColumns is the longest line an excerpt shows.
const excerptColumns = 120

// Excerpt returns the user's own line around a byte offset and, below it, a
// caret under the place. Characters that a terminal would act on or hide are
// shown as escapes; a line longer than 120 columns is cut around the place and
// the cuts are shown as an ellipsis. A tab stays a tab, in both lines.
func Excerpt(text string, offset int) string {
	offset = max(0, min(offset, len(text)))
	start := strings.LastIndexByte(text[:offset], '\n') + 1
	line := text[start:]
	if end := strings.IndexByte(line, '\n'); end >= 0 {
		line = strings.TrimSuffix(line[:end], "\r")
	}
	at := min(offset-start, len(line))
	if start == 0 && strings.HasPrefix(line, byteOrderMark) {
		line = line[len(byteOrderMark):]
		at = max(0, at-len(byteOrderMark))
	}
	before, after := cut(line, at)
	var shown, marker strings.Builder
	for _, c := range before {
		shown.WriteString(c.shown)
		marker.WriteString(c.below)
	}
	for _, c := range after {
		shown.WriteString(c.shown)
	}
	return shown.String() + "\n" + marker.String() + "^"
}

// cell is one character as shown and what stands below it in the marker line.
type cell struct {
	shown, below string
}

// cut returns the cells before and from the place, at most excerptColumns wide
// in all: about half of them before the place when both sides are long.
func cut(line string, at int) (before, after []cell) {
	left, leftWidth, leftAll := cellsBefore(line[:at], excerptColumns)
	right, rightWidth, rightAll := cellsFrom(line[at:], excerptColumns)
	if leftAll && rightAll && leftWidth+rightWidth <= excerptColumns {
		return left, right
	}
	const half = excerptColumns / 2
	ellipsis := cell{"…", " "}
	room := excerptColumns - 1 - min(rightWidth, half)
	if !leftAll || leftWidth > room {
		left, leftWidth, _ = cellsBefore(line[:at], room-1)
		left = append([]cell{ellipsis}, left...)
		leftWidth++
	}
	if !rightAll || leftWidth+rightWidth > excerptColumns {
		right, _, _ = cellsFrom(line[at:], excerptColumns-leftWidth-1)
		right = append(right, ellipsis)
	}
	return left, right
}

// cellsFrom takes cells from the start of s while they fit.
func cellsFrom(s string, columns int) (cells []cell, width int, all bool) {
	for s != "" {
		r, size := utf8.DecodeRuneInString(s)
		c := show(r, s[:size])
		if width+c.width() > columns {
			return cells, width, false
		}
		cells, width, s = append(cells, c), width+c.width(), s[size:]
	}
	return cells, width, true
}

// cellsBefore takes cells from the end of s while they fit.
func cellsBefore(s string, columns int) (cells []cell, width int, all bool) {
	for s != "" {
		r, size := utf8.DecodeLastRuneInString(s)
		c := show(r, s[len(s)-size:])
		if width+c.width() > columns {
			break
		}
		cells, width, s = append(cells, c), width+c.width(), s[:len(s)-size]
	}
	for i, j := 0, len(cells)-1; i < j; i, j = i+1, j-1 {
		cells[i], cells[j] = cells[j], cells[i]
	}
	return cells, width, s == ""
}

func (c cell) width() int { return len(c.below) }

// show writes one character so that it can be seen and stays in its place.
func show(r rune, written string) cell {
	switch {
	case r == '\t':
		return cell{"\t", "\t"}
	case r == utf8.RuneError && len(written) == 1:
		return escaped(fmt.Sprintf(`\x%02X`, written[0]))
	case r > 0xffff && unicode.In(r, unicode.Cf, unicode.Co):
		return escaped(fmt.Sprintf(`\U%08X`, r))
	case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
		return escaped(fmt.Sprintf(`\u%04X`, r))
	case unicode.In(r, unicode.Mn, unicode.Me):
		return cell{written, ""}
	case isWide(r):
		return cell{written, "  "}
	}
	return cell{written, " "}
}

func escaped(shown string) cell { return cell{shown, strings.Repeat(" ", len(shown))} }

// isWide reports characters that terminals draw two columns wide: the main
// blocks of Unicode Standard Annex 11, "East Asian Width".
func isWide(r rune) bool {
	switch {
	case r < 0x1100:
		return false
	case r <= 0x115f, r >= 0x2e80 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3, r >= 0xf900 && r <= 0xfaff,
		r >= 0xfe30 && r <= 0xfe6f, r >= 0xff00 && r <= 0xff60, r >= 0x1f300 && r <= 0x1faff, r >= 0x20000 && r <= 0x3fffd:
		return true
	}
	return false
}
