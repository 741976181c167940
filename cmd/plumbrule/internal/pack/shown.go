package pack

import (
	"html/template"
	"strings"
	"unicode/utf8"
)

// longestName is how many characters stay on one line whatever the column is
// wide: ids, dates and options are shorter, and names of record files longer.
const longestName = 24

// shown is foreign text made safe, as HTML that browsers break where a reader
// would: not at the hyphens of a name or a date, and in a path rather behind a
// slash.
func shown(text string) template.HTML {
	text = words(text)
	if !strings.Contains(text, "-") {
		return template.HTML(template.HTMLEscapeString(text)) //nolint:gosec // escaped
	}
	var out strings.Builder
	for at := 0; at < len(text); {
		end := strings.IndexAny(text[at:], " \n")
		if end < 0 {
			end = len(text) - at
		}
		name(&out, text[at:at+end])
		if at += end; at < len(text) {
			out.WriteByte(text[at])
			at++
		}
	}
	return template.HTML(out.String()) //nolint:gosec // name escapes
}

// name writes a word, which may be a path.
func name(out *strings.Builder, word string) {
	if !strings.Contains(word, "-") {
		template.HTMLEscape(out, []byte(word))
		return
	}
	for i, part := range strings.SplitAfter(word, "/") {
		if i > 0 {
			out.WriteString("<wbr>")
		}
		switch n := utf8.RuneCountInString(part); {
		case !strings.Contains(part, "-"):
			template.HTMLEscape(out, []byte(part))
			continue
		case n > longestName:
			out.WriteString(`<span class="long">`) // on a line of its own, and broken only if it is wider
		default:
			out.WriteString(`<span class="name">`)
		}
		template.HTMLEscape(out, []byte(part))
		out.WriteString("</span>")
	}
}
