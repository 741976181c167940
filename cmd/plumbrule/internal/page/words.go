package page

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules"
)

// longest is how many characters of one foreign text are shown. Sentences of reasons are shorter.
const longest = 400

// words makes foreign text safe to show: what cannot be seen is spelled out, and what is very long is cut, which is said.
func words(text string) string { return cut(text, longest) }

// cut shows that many characters of a text, and says how many it has.
func cut(text string, most int) string {
	n := utf8.RuneCountInString(text)
	if n <= most {
		return show.Text(text)
	}
	at := 0
	for i := range text {
		if at == most {
			return show.Text(text[:i]) + fmt.Sprintf("… (%d characters)", n)
		}
		at++
	}
	return show.Text(text)
}

// named cuts names: of devices, places, kinds.
func named(text string) string { return cut(text, 80) }

// counted writes a number with its noun: 1 file, 2 files.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// orElse returns a text, or another for an empty one.
func orElse(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

func scopes(list []rules.Scope) string {
	var out []string
	for _, s := range list {
		out = append(out, s.String())
	}
	return strings.Join(out, ", ")
}

func place(s rules.Source) string {
	if s.Line == 0 {
		return s.File
	}
	return fmt.Sprintf("%s:%d", s.File, s.Line)
}

// anchor makes an id for a heading from a name: letters, digits and hyphens. Seen holds the ids given so far.
func anchor(prefix, name string, seen map[string]bool) string {
	var b strings.Builder
	b.WriteString(prefix)
	for _, r := range strings.ToLower(cut(name, 40)) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else if !strings.HasSuffix(b.String(), "-") {
			b.WriteByte('-')
		}
	}
	id := strings.TrimSuffix(b.String(), "-")
	for n := 2; seen[id]; n++ {
		id = fmt.Sprintf("%s-%d", strings.TrimSuffix(b.String(), "-"), n)
	}
	seen[id] = true
	return id
}

// excerpt makes the user's own lines safe, line by line; a very long one would show nothing.
func excerpt(text string) string {
	var out []string
	for line := range strings.Lines(text) {
		out = append(out, cut(strings.TrimRight(line, "\n"), 160))
	}
	if len(out) > 6 {
		out = out[:6]
	}
	return strings.Join(out, "\n")
}
