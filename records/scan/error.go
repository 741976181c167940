package scan

import (
	"fmt"
	"strings"
)

// Error is a fault of a scan's file.
type Error struct {
	File string // as in [Options.Name]

	// Byte and Line are where the fault is: the offset in the file, or for compressed ones in the content, and the line of
	// text from 1. Either is -1 or 0 where it does not apply.
	Byte int64
	Line int64

	Found string // what is wrong, a clause: "the header ends before end_header"
	Mend  string // what would mend it; empty where nothing is known
}

// Error puts the place before the fault and the remedy behind it.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	if e.Byte >= 0 {
		fmt.Fprintf(&b, ": byte %d", e.Byte)
		if e.Line > 0 {
			fmt.Fprintf(&b, ", line %d", e.Line)
		}
	}
	b.WriteString(": " + e.Found)
	if e.Mend != "" {
		b.WriteString("; " + e.Mend)
	}
	return b.String()
}
