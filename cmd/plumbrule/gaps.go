package main

import (
	"github.com/spf13/cobra"

	"plumbrule/rules/audit"
)

// gaps prints only what an auditor would find in the records, with what would mend it. With strict it asks for attention
// where that is anything.
func (e env) gaps(cmd *cobra.Command, j *judged, in audit.Input, strict bool) error {
	g := &gapList{judged: j, in: in, findings: audit.Findings(in)}
	if err := e.print(formatOf(cmd), g.answer()); err != nil {
		return err
	}
	if err := j.invalid(); err != nil {
		return err
	}
	return attention(strict, len(g.findings) > 0)
}

// gapList is what was found, worst first.
type gapList struct {
	*judged
	in       audit.Input
	findings []audit.Finding
}
