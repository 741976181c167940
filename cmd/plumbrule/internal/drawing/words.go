package drawing

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"plumbrule/rules/chart"
)

// findings tells each signalling point of a field in words, value and tests.
func (p Picture) findings(f field) []string {
	var out []string
	value := f.scale.fine()
	for _, t := range f.traces {
		for _, point := range t.points {
			if len(t.spoken(point)) > 0 {
				out = append(out, p.told(t, point, value))
			}
		}
	}
	return out
}

// told tells one point: when, value, the tests that speak, its label.
func (p Picture) told(t trace, point chart.Point, value func(float64) string) string {
	var text strings.Builder
	text.WriteString(p.when(point.N-1) + ": ")
	for i, f := range t.figures(point) {
		if i > 0 {
			text.WriteString(" (" + f.name + joined(value(f.value), p.Unit) + ")")
			continue
		}
		text.WriteString(f.name + joined(value(f.value), p.Unit))
	}
	for i, s := range t.spoken(point) {
		between := "; "
		if i == 0 {
			between = ", "
		}
		text.WriteString(between + s.Words() + " (" + string(s.Test) + ")")
	}
	if len(p.Points) > 0 {
		if label := plain(p.Points[point.N-1].Label); label != "" {
			text.WriteString(", " + label)
		}
	}
	return text.String()
}

// when tells a point by its date, with the time if a neighbour has the same
// date, or by its number where there is none.
func (p Picture) when(i int) string {
	if p.dated() {
		text := p.Points[i].When.Format(time.DateOnly)
		for _, j := range []int{i - 1, i + 1} {
			if j >= 0 && j < len(p.Points) && p.Points[j].When.Format(time.DateOnly) == text {
				return p.Points[i].When.Format("2006-01-02 15:04")
			}
		}
		return text
	}
	return fmt.Sprintf("point %d", i+1)
}

// summary says in a sentence what the chart shows.
func (p Picture) summary() string {
	c := p.Chart
	text := signalCount(c.Signalling(), len(c.Points), "point")
	if len(c.Range) > 0 {
		text += "; " + signalCount(c.RangeSignalling(), len(c.Range), Dispersion(c.Kind))
	}
	return text
}

func signalCount(signals, of int, what string) string {
	switch {
	case of == 1 && signals == 1:
		return "the only " + what + " signals"
	case of == 1:
		return "the only " + what + " does not signal"
	case signals == 0:
		return fmt.Sprintf("none of %d %ss signals", of, what)
	case signals == 1:
		return fmt.Sprintf("1 of %d %ss signals", of, what)
	}
	return fmt.Sprintf("%d of %d %ss signal", signals, of, what)
}

// joined puts a unit behind a figure, if there is one.
func joined(figure, unit string) string {
	return strings.TrimRight(figure+" "+plain(unit), " ")
}

// plain makes hostile text safe for one line: whatever is not printable, line
// breaks and marks that turn the reading direction among it, becomes a space.
func plain(text string) string {
	if isPlain(text) {
		return text
	}
	return strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text)), " ")
}

// isPlain tells a text of printable letters with single blanks between words, as
// most are.
func isPlain(text string) bool {
	before := ' '
	for _, r := range text {
		if r == utf8.RuneError || !unicode.IsPrint(r) || r == ' ' && before == ' ' {
			return false
		}
		before = r
	}
	return before != ' ' || text == ""
}

// ascii spells the signs of units in ASCII.
func ascii(text string) string {
	text = strings.NewReplacer("µ", "u", "μ", "u", "°", "deg ", "±", "+/-", "−", "-", "–", "-", "·", "*", "×", "x",
		"²", "^2", "³", "^3", "Ω", "Ohm").Replace(text)
	return strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII {
			return '?'
		}
		return r
	}, text)
}

// cut shortens text to a width in columns, counting wide letters double; a
// shortened text ends in the sign more, one column wide.
func cut(text string, width int, more string) string {
	used, keep := 0, 0
	for i, r := range text {
		if used <= width-1 {
			keep = i
		}
		used += columns(r)
	}
	if used <= width {
		return text
	}
	return strings.TrimRight(text[:keep], " ") + more
}

// columns is 2 for letters that fill two columns of a terminal (East Asian
// scripts and pictographs, taken by block), else 1.
func columns(r rune) int {
	if r >= 0x1100 && (r <= 0x115f || r >= 0x2e80 && r <= 0xd7a3 || r >= 0xf900 && r <= 0xfaff ||
		r >= 0xfe30 && r <= 0xfe6f || r >= 0xff00 && r <= 0xff60 || r >= 0x1f300 && r <= 0x1faff || r >= 0x20000) {
		return 2
	}
	return 1
}

// wide returns the width of a text in columns.
func wide(text string) int {
	width := 0
	for _, r := range text {
		width += columns(r)
	}
	return width
}

// wrap breaks text into lines at most width columns wide; a longer word is cut.
func wrap(text string, width int) []string {
	var out []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		word = cut(word, width, "~")
		if line != "" && wide(line)+1+wide(word) > width {
			out = append(out, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line == "" {
		return out
	}
	return append(out, line)
}
