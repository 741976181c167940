package routefile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records/source"
)

// Problem says what is wrong with a file, where, and what would mend it.
type Problem struct {
	File     string
	Position source.Position // zero: the whole file
	Message  string
	Mend     string // may be empty
	Excerpt  string // the line and a marker below it; may be empty
}

// String returns the problem as printed for people, on a few lines: place and message, the marked line, the remedy.
func (p Problem) String() string {
	var b strings.Builder
	b.WriteString(show.Text(p.File))
	if p.Position.Line > 0 {
		fmt.Fprintf(&b, ":%s", p.Position)
	}
	fmt.Fprintf(&b, ": error: %s\n", show.Text(p.Message))
	for line := range strings.Lines(p.Excerpt) {
		b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
	}
	if p.Mend != "" {
		fmt.Fprintf(&b, "  mend: %s\n", show.Text(p.Mend))
	}
	return b.String()
}

func sorted(list []Problem) []Problem {
	slices.SortStableFunc(list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Position.Line, b.Position.Line), cmp.Compare(a.Position.Column, b.Position.Column))
	})
	return list
}
