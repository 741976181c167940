package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
)

func newValidateCommand(e *env) *cobra.Command {
	cmd := &cobra.Command{
		Use:     "validate",
		Short:   "is everything in the records readable and free of contradiction",
		GroupID: groupDaily,
		Long: "Validate reads every file of the repository, by its own reader and by the TOML library, checks the records " +
			"against each other, and lists all that is wrong with place and remedy. \"plumbrule explain CODE\" says more about a code.",
		Example:     "  plumbrule validate\n  plumbrule validate --strict --at 2026-11-02",
		Annotations: statuses("0", "nothing wrong, or warnings only", "1", "with --strict: there are warnings", "3", "there are errors"),
		Args:        noOperands,
	}
	flags := flagsOf(cmd)
	at := flags.text("at", "dates after this `INSTANT` lie in the future; now if not given")
	rev := flags.revision()
	strict := flags.strict()
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if *rev != "" {
			if *at != "" {
				return misused("--at beside --rev, expected one of them", "dates after the time of the commit lie in the future")
			}
			j, err := e.openRevision(cmd.Context(), *rev, "", records.Options{CrossCheck: true, Attachments: true})
			if err != nil {
				return err
			}
			e.pending(cmd.Context(), j)
			return e.validated(cmd, j, *strict)
		}
		j, err := e.open(records.Options{})
		if err != nil {
			return err
		}
		limit, err := e.instantOf("at", *at, j.set.Site)
		if err != nil {
			return err
		}
		if j, err = e.open(records.Options{At: limit, CrossCheck: true, Attachments: true}); err != nil {
			return err
		}
		return e.validated(cmd, j, *strict)
	}
	return cmd
}

// validated prints what is wrong.
func (e env) validated(cmd *cobra.Command, j *judged, strict bool) error {
	if err := e.print(formatOf(cmd), j.validateAnswer()); err != nil {
		return err
	}
	if records.HasErrors(j.diagnostics) {
		return errInvalid
	}
	return attention(strict, len(j.diagnostics) > 0)
}

type validateJSON struct {
	Records     int              `json:"records"`
	Errors      int              `json:"errors"`
	Warnings    int              `json:"warnings"`
	Diagnostics []diagnosticJSON `json:"diagnostics"`
}

type diagnosticJSON struct {
	Code     string      `json:"code"`
	Severity string      `json:"severity"`
	File     string      `json:"file"`
	Line     *uint32     `json:"line"`
	Column   *uint32     `json:"column"`
	Message  string      `json:"message"`
	Mend     string      `json:"mend"`
	Related  []placeJSON `json:"related"`
}

type placeJSON struct {
	File   string  `json:"file"`
	Line   *uint32 `json:"line"`
	Column *uint32 `json:"column"`
	Text   string  `json:"text"`
}

// validateAnswer lists diagnostics as text with the marked line for people, as rows for programs.
func (j *judged) validateAnswer() answer {
	out := validateJSON{Records: j.set.Count(), Diagnostics: []diagnosticJSON{}}
	raw := table.Table{Columns: []table.Column{
		{Title: "file"}, {Title: "line"}, {Title: "column"}, {Title: "severity"}, {Title: "code"}, {Title: "message", Wrap: true}, {Title: "mend", Wrap: true},
	}}
	var lines []string
	for _, d := range j.diagnostics {
		if d.Severity == records.Error {
			out.Errors++
		} else {
			out.Warnings++
		}
		line, column := numberOrNull(d.Position.Line), numberOrNull(d.Position.Column)
		related := []placeJSON{}
		for _, p := range d.Related {
			related = append(related, placeJSON{p.File, numberOrNull(p.Position.Line), numberOrNull(p.Position.Column), p.Text})
		}
		out.Diagnostics = append(out.Diagnostics, diagnosticJSON{d.Code, d.Severity.String(), d.File, line, column, d.Message, d.Mend, related})
		raw.Add(table.Text(d.File), positionCell(d.Position.Line), positionCell(d.Position.Column), table.Text(d.Severity.String()),
			table.Text(d.Code), table.Text(d.Message), table.Text(d.Mend))
		lines = append(lines, strings.Split(strings.TrimRight(d.String(), "\n"), "\n")...)
	}
	summary := fmt.Sprintf("%s, %s, %s", counted(out.Records, "usable record"), counted(out.Errors, "error"), counted(out.Warnings, "warning"))
	return answer{JSON: out, CSV: raw, Verbatim: lines, Below: []string{summary}}
}

func numberOrNull(n uint32) *uint32 {
	if n == 0 {
		return nil
	}
	return &n
}

func positionCell(n uint32) table.Cell {
	if n == 0 {
		return table.Text("")
	}
	return table.Count(int(n))
}
