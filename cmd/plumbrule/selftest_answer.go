package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/published"
	"plumbrule/rules/selftest"
)

func (t *selftested) answer() answer {
	a := answer{JSON: t.json(), CSV: t.csv(), Above: []string{t.verdict(), t.programLine(), t.fileLine()}, Table: t.parts()}
	if bare := t.bare(); len(bare) > 0 {
		a.Below = append(a.Below, "Without check values: "+strings.Join(bare, ", ")+
			". No published figure is known for them here; the automated tests of the source hold them.")
	}
	a.Below = append(a.Below, "How the figures came here is said beside each source.")
	for _, s := range published.SeenTexts() {
		a.Below = append(a.Below, fmt.Sprintf("%s: %s", s.Seen, s.Text))
	}
	for _, group := range t.grouped() {
		a.Sections = append(a.Sections, groupSection(group))
	}
	a.Sections = append(a.Sections, section{Head: t.verdict()}) // what stands last is what a terminal shows
	return a
}

func (t *selftested) verdict() string {
	n, agree := len(t.results), t.agree()
	if selftest.Passed(t.results) {
		return fmt.Sprintf("Passed: all %d check values agree", n)
	}
	return fmt.Sprintf("FAILED: %d of %d check values do not agree; do not use this program for what they stand for", n-agree, n)
}

func (t *selftested) programLine() string {
	p := t.program
	words := []string{"plumbrule " + p.Version}
	if p.Revision != "" {
		revision := "revision " + p.Revision
		if p.Modified {
			revision += ", modified"
		}
		words = append(words, revision)
	}
	return strings.Join(append(words, "built with "+p.Go+" for "+p.Platform, "time zones "+p.TimeZones), "; ")
}

func (t *selftested) fileLine() string {
	if t.sha256 == "" {
		return "executable file: no SHA-256, " + t.whyNone
	}
	return "executable file: SHA-256 " + t.sha256
}

// parts counts the check values of each part.
func (t *selftested) parts() table.Table {
	out := table.Table{Columns: []table.Column{
		{Title: "part"}, {Title: "what it does", Wrap: true}, {Title: "check values", Align: table.Right}, {Title: "agree", Align: table.Right},
	}}
	for _, c := range selftest.Counts(t.results) {
		if c.Figures > 0 {
			out.Add(table.Text(c.Name), table.Text(c.About), table.Count(c.Figures), table.Count(c.Agree))
		}
	}
	return out
}

// bare names the parts without check values.
func (t *selftested) bare() (names []string) {
	for _, c := range selftest.Counts(t.results) {
		if c.Figures == 0 {
			names = append(names, c.Name)
		}
	}
	return names
}

// grouped returns the results group by group, the parts in their order.
func (t *selftested) grouped() (all [][]selftest.Result) {
	for i, r := range t.results {
		if i > 0 && sameSource(t.results[i-1].Group, r.Group) {
			all[len(all)-1] = append(all[len(all)-1], r)
			continue
		}
		all = append(all, []selftest.Result{r})
	}
	rank := map[string]int{}
	for i, p := range selftest.Parts() {
		rank[p.Name] = i
	}
	slices.SortStableFunc(all, func(a, b []selftest.Result) int { return rank[a[0].Group.Part] - rank[b[0].Group.Part] })
	return all
}

func sameSource(a, b published.Group) bool {
	return a.Title == b.Title && a.Part == b.Part && a.Publication == b.Publication && a.Edition == b.Edition && a.Place == b.Place
}

func groupSection(group []selftest.Result) section {
	g := group[0].Group
	s := section{
		Head:  g.Part + ": " + g.Title,
		Above: []string{source(g)},
		Table: table.Table{Columns: []table.Column{
			{Title: "of", Wrap: true}, {Title: "published", Unit: g.Unit, Wrap: g.Words}, {Title: "computed", Unit: g.Unit, Wrap: g.Words},
		}},
	}
	if !g.Words {
		s.Table.Columns[1].Align, s.Table.Columns[2].Align = table.Decimal, table.Decimal
		s.Table.Columns = append(s.Table.Columns, table.Column{Title: "difference", Align: table.Right}, table.Column{Title: "tolerance", Align: table.Right})
	}
	s.Table.Columns = append(s.Table.Columns, table.Column{Title: "result"})
	var reasons []string
	for _, r := range group {
		cells := []table.Cell{table.Text(r.Value.Input), table.Text(r.Value.Printed), table.Text(r.Computed)}
		if !g.Words {
			cells = append(cells, table.Text(differenceOf(r)), table.Text(brief(r.Value.Tolerance)))
		}
		s.Table.Add(append(cells, table.Word(outcome(r), tone(r)))...)
		if r.Value.Because != "" && !slices.Contains(reasons, r.Value.Because) {
			reasons = append(reasons, r.Value.Because)
			s.Below = append(s.Below, fmt.Sprintf("tolerance %s: %s", brief(r.Value.Tolerance), r.Value.Because))
		}
		if r.Err != nil {
			s.Below = append(s.Below, fmt.Sprintf("%s: %v", r.Value.Input, r.Err))
		}
	}
	return s
}

// source names the source of a group and how its figures came here.
func source(g published.Group) string {
	return fmt.Sprintf("%s; edition %s; %s (%s)", g.Publication, g.Edition, g.Place, g.Seen)
}

func outcome(r selftest.Result) string {
	switch {
	case r.Err != nil:
		return "NOT COMPUTED"
	case r.Agrees:
		return "agrees"
	}
	return "DIFFERS"
}

func tone(r selftest.Result) table.Tone {
	if r.Agrees {
		return table.Good
	}
	return table.Bad
}

// differenceOf prints a difference with two digits and its sign.
func differenceOf(r selftest.Result) string {
	if r.Difference == nil {
		return ""
	}
	if *r.Difference == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.1e", *r.Difference)
}

// brief prints a tolerance.
func brief(tolerance float64) string {
	if tolerance == 0 {
		return "0"
	}
	return strconv.FormatFloat(tolerance, 'g', 3, 64)
}

// csv has one row a check value.
func (t *selftested) csv() table.Table {
	out := table.Table{}
	for _, title := range []string{
		"part", "title", "input", "publication", "edition", "place", "seen", "unit", "published", "computed", "difference", "tolerance", "tolerance reason", "result",
	} {
		out.Columns = append(out.Columns, table.Column{Title: title})
	}
	for _, r := range t.results {
		computed, apart, within := table.Text(r.Computed), table.None(), table.None()
		if r.Number != nil {
			computed, apart = table.Number(r.Computed, *r.Number), table.Number("", *r.Difference)
		}
		if !r.Group.Words {
			within = table.Number("", r.Value.Tolerance)
		}
		out.Add(table.Text(r.Group.Part), table.Text(r.Group.Title), table.Text(r.Value.Input), table.Text(r.Group.Publication),
			table.Text(r.Group.Edition), table.Text(r.Group.Place), table.Text(string(r.Group.Seen)), table.Text(r.Group.Unit),
			table.Text(r.Value.Printed), computed, apart, within, table.Text(r.Value.Because), table.Text(outcome(r)))
	}
	return out
}
