package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules/trace"
)

// traceGaps follows the chain of every device and lists where it does not hold.
func (a *audited) traceGaps() pack.Section {
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "at"}, {Title: "gap"}, {Title: "what would mend it"}, {Title: "clause"}, {Title: "records"}}}
	whole := 0
	all := trace.Open(a.set, a.at, a.options, a.looks)
	for _, d := range a.devices {
		chain, err := all.For(d.ID, "")
		if err != nil {
			t.Add(table.Text(d.ID), table.Text("device"), table.Word(err.Error(), table.Bad), table.Text(""), table.Text("6.5"), table.Text(""))
			continue
		}
		gaps := chain.Gaps()
		if len(gaps) == 0 {
			whole++
		}
		for _, g := range gaps {
			code, _ := trace.CodeOf(g.Gap.Code)
			t.Add(table.Text(d.ID), table.Text(fmt.Sprintf("%s %s", chain.Steps[g.Step].Kind, chain.Steps[g.Step].Name)), table.Text(g.Gap.Sentence), table.Text(code.Mend), table.Text(code.Clause), table.Text(sourceLines(g.Gap.Sources, 2)))
		}
	}
	return pack.Section{
		ID: "traceability", Title: "Traceability, and where it does not hold", Apart: true,
		Lead: []string{
			"From each device over checks, artifacts and certificates to laboratory, accreditation and stated reference. ISO/IEC 17025:2017, 6.5 and annex A.",
			fmt.Sprintf("Of %s the chain holds to its end for %d.", counted(len(a.devices), "device"), whole),
		},
		Table: &pack.Table{Name: "traceability", Table: t, Widths: []int{9, 16, 27, 22, 8, 18}, None: "No gap was found in any chain."},
	}
}

// recordSection says what the pack rests on, and what is not in it.
func (a *audited) recordSection(facts pack.Facts) pack.Section {
	s := pack.Section{ID: "records", Title: "Records", Apart: true, Lead: []string{
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
