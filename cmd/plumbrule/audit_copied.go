package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
)

// recordSection says what the pack rests on, and what is not in it.
func (a *audited) recordSection(facts pack.Facts) pack.Section {
	s := pack.Section{ID: "records", Title: "Records", Lead: []string{
		fmt.Sprintf("The records this was drawn from lie in the folder %s, byte for byte, and their digests in %s.", pack.RecordsFolder, pack.Manifest),
	}}
	left := table.Table{Columns: []table.Column{{Title: "file"}, {Title: "size", Unit: "bytes", Align: table.Right}, {Title: "SHA-256 recorded"}, {Title: "why"}}}
	for _, f := range facts.Left {
		size := table.None()
		if f.Size > 0 {
			size = table.Count(int(f.Size))
		}
		left.Add(table.Text(f.File), size, table.Text(f.SHA256), table.Text(f.Why))
	}
	faults := table.Table{Columns: []table.Column{{Title: "where"}, {Title: "severity"}, {Title: "code"}, {Title: "what"}, {Title: "what would mend it"}}}
	for _, d := range a.diagnostics {
		word := table.Word(fmt.Sprint(d.Severity), table.Doubtful)
		if d.Severity == records.Error {
			word.Tone = table.Bad
		}
		faults.Add(table.Text(strings.TrimSuffix(fmt.Sprintf("%s:%d", d.File, d.Position.Line), ":0")), word, table.Text(d.Code), table.Text(d.Message), table.Text(d.Mend))
	}
	s.Parts = []pack.Section{
		{ID: "left-out", Title: "Attached files that are not copied", Table: &pack.Table{Name: "left-out", Table: left, Widths: []int{32, 10, 36, 22}, None: "Every file that a record names is here."}},
		{ID: "faults", Title: "Records with faults", Table: &pack.Table{Name: "faults", Table: faults, Widths: []int{28, 9, 15, 28, 20}, None: "Every record could be read, and none contradicts another."}},
	}
	return s
}
