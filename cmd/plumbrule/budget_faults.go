package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules/budget/worksheet"
)

// faulty tells what is wrong with a file: each fault with its place, the marked line and what would mend it.
func (e env) faulty(file string, faults ...worksheet.Fault) error {
	var out strings.Builder
	for _, f := range faults {
		fmt.Fprintf(&out, "%s:%s: %s\n", show.Text(file), f.Position, show.Text(f.Message))
		for line := range strings.Lines(f.Excerpt) {
			out.WriteString("    " + strings.TrimRight(line, " \n") + "\n")
		}
		if f.Mend != "" {
			fmt.Fprintf(&out, "  mend: %s\n", show.Text(f.Mend))
		}
	}
	if _, err := e.Stderr.Write([]byte(out.String())); err != nil {
		return err
	}
	return errInvalid
}
