package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/audit"
)

// findingSection lists what would be found, kind by kind.
func findingSection(findings []audit.Finding) pack.Section {
	s := pack.Section{ID: "findings", Title: "What an auditor would find", Apart: true}
	if len(findings) == 0 {
		s.Notes = []string{"Nothing was found in the records that an auditor would object to."}
	}
	parts := map[string]*pack.Section{}
	var order []string
	for _, f := range findings {
		p := parts[f.Code]
		if p == nil {
			p = &pack.Section{ID: "finding-" + f.Code, Title: f.Code, Table: &pack.Table{Widths: []int{14, 50, 36}, Table: table.Table{
				Columns: []table.Column{{Title: "subject"}, {Title: "finding"}, {Title: "records"}},
			}}}
			if c, found := audit.CodeOf(f.Code); found {
				p.Title = upperFirst(c.Title)
			}
			p.Notes = []string{"What would mend it: " + f.Mend + ". " + strings.Join(f.Clauses, "; ") + "."}
			parts[f.Code] = p
			order = append(order, f.Code)
		}
		p.Table.Table.Add(table.Text(f.Subject), table.Text(f.Sentence), table.Text(oneSource(f.Sources)))
	}
	for _, code := range order {
		p := parts[code]
		p.Title += fmt.Sprintf(" (%d)", len(p.Table.Table.Rows))
		s.Parts = append(s.Parts, *p)
	}
	return s
}

// findingTable is the file with all findings.
func findingTable(findings []audit.Finding) pack.Table {
	t := table.Table{Columns: []table.Column{{Title: "code"}, {Title: "subject"}, {Title: "finding"}, {Title: "mend"}, {Title: "clauses"}, {Title: "records"}}}
	for _, f := range findings {
		t.Add(table.Text(f.Code), table.Text(f.Subject), table.Text(f.Sentence), table.Text(f.Mend), table.Text(strings.Join(f.Clauses, "; ")), table.Text(sourceLines(f.Sources, len(f.Sources))))
	}
	return pack.Table{Name: "findings", Table: t}
}

// oneSource names the first record and counts the others.
func oneSource(list []rules.Source) string {
	switch len(list) {
	case 0:
		return ""
	case 1:
		return placeText(list[0])
	}
	return fmt.Sprintf("%s and %d more", placeText(list[0]), len(list)-1)
}

// sourceLines names records, a line each.
func sourceLines(list []rules.Source, most int) string {
	files := make([]string, len(list))
	for i, x := range list {
		files[i] = placeText(x)
	}
	return lines(files, most)
}
