package main

import (
	"fmt"
	"slices"
	"strings"

	"plumbrule/cmd/plumbrule/internal/pack"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/audit"
)

// clauseSection answers the clauses.
func clauseSection(answers []audit.Answer) pack.Section {
	s := pack.Section{ID: "clauses", Title: "Clauses and what answers them", Apart: true, Lead: []string{
		"The questions are in words of our own and no substitute for the standards. \"Partly\" says what is missing, or what the laboratory shows by other means than these records. What is missing is counted by kind; the next section has it one by one, and the files of these tables name the records.",
	}}
	var standard string
	var t *pack.Table
	for _, x := range answers {
		if x.Clause.Standard != standard || t == nil {
			standard = x.Clause.Standard
			columns := []table.Column{{Title: "clause"}, {Title: "asked"}, {Title: "state"}, {Title: "shown by"}, {Title: "missing, or to be shown otherwise"}}
			t = &pack.Table{Name: fmt.Sprintf("clauses-%d", len(s.Parts)+1), Widths: []int{8, 26, 9, 29, 28}, Table: table.Table{Columns: columns}, Whole: &table.Table{Columns: columns}}
			s.Parts = append(s.Parts, pack.Section{ID: t.Name, Title: standard, Table: t})
		}
		var shown, proven, missing []string
		for _, v := range x.Evidence {
			shown = append(shown, upperFirst(v.Sentence)+".")
			proven = append(proven, upperFirst(v.Sentence)+sourcesText(v.Sources)+".")
		}
		for _, g := range x.Gaps {
			missing = append(missing, g.Subject+": "+g.Sentence+".")
		}
		short := gapCounts(x.Gaps)
		if x.Own != "" {
			missing, short = append(missing, upperFirst(x.Own)+"."), append(short, upperFirst(x.Own)+".")
		}
		number := table.Text(x.Clause.Number)
		number.Raw = standard + ", " + x.Clause.Number
		t.Table.Add(number, table.Text(x.Clause.Question), stateWord(x.State), table.Text(strings.Join(shown, "\n")), table.Text(strings.Join(short, "\n")))
		t.Whole.Add(number, table.Text(x.Clause.Question), stateWord(x.State), table.Text(strings.Join(proven, "\n")), table.Text(strings.Join(missing, "\n")))
	}
	return s
}

// gapCounts names the findings behind a clause kind by kind, as the headings of the next section do, with the first of whom they are about.
func gapCounts(gaps []audit.Finding) []string {
	about := map[string][]string{}
	count := map[string]int{}
	var order []string
	for _, g := range gaps {
		if count[g.Code]++; count[g.Code] == 1 {
			order = append(order, g.Code)
		}
		if !slices.Contains(about[g.Code], g.Subject) {
			about[g.Code] = append(about[g.Code], g.Subject)
		}
	}
	out := make([]string, len(order))
	for i, id := range order {
		title := id
		if c, found := audit.CodeOf(id); found {
			title = upperFirst(c.Title)
		}
		names := about[id]
		if n := len(names); n > 4 {
			names = append(names[:3:3], fmt.Sprintf("%d more", n-3))
		}
		out[i] = fmt.Sprintf("%s (%d): %s.", title, count[id], strings.Join(names, ", "))
	}
	return out
}

func stateWord(s audit.State) table.Cell {
	switch s {
	case audit.Answered:
		return table.Word("answered", table.Good)
	case audit.Partly:
		return table.Word("partly", table.Doubtful)
	case audit.Gap:
		return table.Word("gap", table.Bad)
	case audit.NotApplicable:
		return table.Text("not applicable")
	}
	return table.Text(string(s))
}

// lines puts sentences below each other and counts those beyond the most.
func lines(list []string, most int) string {
	if len(list) > most {
		list = append(list[:most:most], fmt.Sprintf("and %d more", len(list)-most))
	}
	return strings.Join(list, "\n")
}

// sourcesText names the first records a sentence rests on.
func sourcesText(list []rules.Source) string {
	if len(list) == 0 {
		return ""
	}
	out := " (" + placeText(list[0])
	if len(list) > 1 {
		out += fmt.Sprintf(" and %d more", len(list)-1)
	}
	return out + ")"
}
