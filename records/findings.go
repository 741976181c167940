package records

import "unicode/utf8"

// findings collects diagnostics. What the catalogue knows of a code, its weight
// and its usual remedy, is filled in.
type findings struct {
	codes map[string]Code
	list  []Diagnostic

	file             string // of the last diagnostic
	errors, warnings int    // in that file so far
}

// maximumInFile is the number of errors told of one file: what has more is no
// record at all.
const maximumInFile = 50

// longestText is the length in bytes at which messages are cut; they quote what
// users wrote.
const longestText = 500

func newFindings() findings {
	codes := make(map[string]Code)
	for _, c := range Codes() {
		codes[c.ID] = c
	}
	return findings{codes: codes}
}

// enough reports whether so much is known of the file that a diagnostic more
// would not help. An error is never left out before another one was told.
func (f *findings) enough(file, code string) bool {
	if f.file != file {
		return false
	}
	return f.errors >= maximumInFile || f.codes[code].Severity == Warning && f.warnings >= maximumInFile
}

// add completes a diagnostic and keeps it.
func (f *findings) add(d Diagnostic) {
	code := f.codes[d.Code]
	d.Severity = code.Severity
	if d.Mend == "" {
		d.Mend = code.Mend
	}
	d.Message, d.Mend = cut(d.Message), cut(d.Mend)
	if f.file != d.File {
		f.file, f.errors, f.warnings = d.File, 0, 0
	}
	if d.Severity == Error {
		f.errors++
	} else {
		f.warnings++
	}
	f.list = append(f.list, d)
}

// cut shortens a text that is too long to be read.
func cut(s string) string {
	if len(s) <= longestText {
		return s
	}
	end := longestText
	for !utf8.RuneStart(s[end]) {
		end--
	}
	return s[:end] + "…"
}

// Taken is the diagnostic for a new record whose place is taken. Nothing
// recorded is rewritten: writers either give it with this, or take another name
// by [NextFree].
func Taken(file string) Diagnostic {
	f := newFindings()
	f.whole("record-exists", file, "a record lies here already", "")
	return f.list[0]
}

// whole reports something about a file or folder as a whole. An empty mend
// takes the catalogue's.
func (f *findings) whole(code, file, message, mend string) {
	f.add(Diagnostic{Code: code, File: file, Message: message, Mend: mend})
}
