package main

import (
	"github.com/spf13/cobra"

	"plumbrule/rules/audit"
)

// auditGaps prints only what an auditor would find in the records, with what would mend it.
func (e env) auditGaps(cmd *cobra.Command, o *auditOptions, args []string) error {
	a, err := e.gather(cmd.Context(), o, args)
	if err != nil {
		return err
	}
	g := &gapList{judged: a.judged, in: a.input()}
	g.findings = audit.Findings(g.in)
	if err := e.print(formatOf(cmd), g.answer()); err != nil {
		return err
	}
	if err := a.invalid(); err != nil {
		return err
	}
	return attention(*o.strict, len(g.findings) > 0)
}

// gapList is what was found, worst first.
type gapList struct {
	*judged
	in       audit.Input
	findings []audit.Finding
}
