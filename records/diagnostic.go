package records

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"plumbrule/records/source"
)

// Severity says what a diagnostic means for the record it is about.
type Severity uint8

const (
	// Warning means that the record is used, but somebody should look at it.
	Warning Severity = iota + 1
	// Error means that the record is left out of every conclusion, and what it is about
	// cannot be judged until it is mended.
	Error
)

// String returns "warning" or "error".
func (s Severity) String() string {
	if s == Error {
		return "error"
	}
	return "warning"
}

// Position is a place in a file: line and column, both from 1, columns counted
// in characters (a tab is one). Zero means the whole file.
type Position = source.Position

// Diagnostic says what is wrong with a file, where, and what would mend it.
type Diagnostic struct {
	Code     string // see [Codes]
	Severity Severity
	File     string // path inside the repository
	Position Position
	Message  string
	Mend     string
	Excerpt  string  // the user's own line and a marker below; may be empty
	Related  []Place // other places that take part
}

// Place is another position that takes part in a diagnostic.
type Place struct {
	File     string
	Position Position
	Text     string
}

// String returns the diagnostic as printed for people: position, severity,
// message and code, the marked line, other places, and the remedy. Characters
// that a terminal would act on or hide are shown as escapes.
func (d Diagnostic) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s: %s [%s]\n", at(d.File, d.Position), d.Severity, visible(d.Message), d.Code)
	for line := range strings.Lines(d.Excerpt) {
		b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
	}
	for _, p := range d.Related {
		fmt.Fprintf(&b, "  see: %s: %s\n", at(p.File, p.Position), visible(p.Text))
	}
	if d.Mend != "" {
		fmt.Fprintf(&b, "  mend: %s\n", visible(d.Mend))
	}
	return b.String()
}

// at formats a place as file:line:column, leaving out what is not known.
func at(file string, p Position) string {
	if p.Line == 0 {
		return visible(file)
	}
	return fmt.Sprintf("%s:%d:%d", visible(file), p.Line, p.Column)
}

// visible shows characters that cannot be seen as escapes: names of files and
// targets of links may hold any.
func visible(s string) string {
	if !strings.ContainsFunc(s, hiddenRune) {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if hiddenRune(r) {
			b.WriteString(strings.Trim(strconv.QuoteRune(r), "'"))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func hiddenRune(r rune) bool { return !unicode.IsGraphic(r) }

// SortDiagnostics orders diagnostics by file, position and code.
func SortDiagnostics(list []Diagnostic) {
	slices.SortStableFunc(list, func(a, b Diagnostic) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Position.Line, b.Position.Line),
			cmp.Compare(a.Position.Column, b.Position.Column),
			cmp.Compare(a.Code, b.Code),
			cmp.Compare(a.Message, b.Message),
		)
	})
}

// HasErrors reports whether any of the diagnostics is an error.
func HasErrors(list []Diagnostic) bool {
	return slices.ContainsFunc(list, func(d Diagnostic) bool { return d.Severity == Error })
}
