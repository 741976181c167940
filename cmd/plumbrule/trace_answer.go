package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/figure"
	"plumbrule/rules/trace"
)

func (t *traced) answer() answer {
	p := &page{}
	numbers := t.numbers()
	t.tree(p, numbers, map[int]bool{}, 0, 0)
	t.mends(p, numbers)
	return answer{JSON: t.json(), CSV: t.csv(), Above: []string{t.headline()}, Page: p}
}

// headline says what was traced, for when, and how many gaps there are.
func (t *traced) headline() string {
	root := t.chain.Steps[0]
	text := "no gap found in what the records state"
	if n := len(t.chain.Gaps()); n > 0 {
		text = counted(n, "gap")
	}
	return fmt.Sprintf("%s %s, by what was known on %s: %s", root.Kind, root.Name, t.at.In(zoneOf(t.set)).Format("2006-01-02 15:04 MST"), text)
}

// numbers counts the gaps: the number of the first of each step.
func (t *traced) numbers() []int {
	out, n := make([]int, len(t.chain.Steps)), 1
	for i, s := range t.chain.Steps {
		out[i] = n
		n += len(s.Gaps)
	}
	return out
}

// tree writes a step and all it rests on, each further in; what was written already is only named.
func (t *traced) tree(p *page, numbers []int, said map[int]bool, i, depth int) {
	s := t.chain.Steps[i]
	head := fmt.Sprintf("%s %s", s.Kind, s.Name)
	if said[i] {
		p.add(depth, "%s (see above)", head)
		return
	}
	said[i] = true
	words := strings.Join(s.Words, "; ")
	switch {
	case s.Kind == trace.Reference:
		head = fmt.Sprintf("%s, %s: %s", s.Kind, words, s.Name)
	case words != "":
		head += ": " + words
	}
	p.add(depth, "%s", head)
	for _, f := range s.Figures {
		p.add(depth+2, "%s", figureLine(s, &f))
	}
	for n, g := range s.Gaps {
		p.add(depth+2, "GAP %d: %s", numbers[i]+n, g.Sentence)
	}
	for _, below := range s.Below {
		t.tree(p, numbers, said, below, depth+1)
	}
}

// mends says, once for each kind of gap, what would mend it.
func (t *traced) mends(p *page, numbers []int) {
	which := map[string][]string{}
	var order []string
	for i, s := range t.chain.Steps {
		for n, g := range s.Gaps {
			if which[g.Code] == nil {
				order = append(order, g.Code)
			}
			which[g.Code] = append(which[g.Code], fmt.Sprint(numbers[i]+n))
		}
	}
	if len(which) == 0 {
		return
	}
	p.head("What would mend it")
	for _, code := range order {
		c, _ := trace.CodeOf(code)
		list := which[code]
		p.item("%s %s, %s (%s): %s", plural(len(list), "gap"), strings.Join(list, ", "), c.Title, c.ID, c.Mend)
		p.sub("%s", c.Clause)
	}
}

func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	return noun + "s"
}

// figureLine writes a figure with its uncertainty, as far as it is stated.
func figureLine(s *trace.Step, f *trace.Figure) string {
	text := fmt.Sprintf("%s: %s %s", f.Of, f.What, figureValue(f))
	if u := uncertaintyText(s, f); u != "" {
		text += ", " + u
	}
	if f.Verdict != "" && f.ValueUM.Value != nil {
		text += ", " + f.Verdict
	}
	return text
}

func figureValue(f *trace.Figure) string {
	switch {
	case f.ValueUM.Value == nil && f.What == "limit":
		return f.ValueUM.Reason
	case f.ValueUM.Value == nil:
		return "none: " + f.ValueUM.Reason
	case f.What == "value":
		return show.LengthMM(*f.ValueUM.Value/1000) + " mm"
	case f.What == "error":
		return show.Signed(*f.ValueUM.Value, decimalsBeside(f.ExpandedUM)) + " µm"
	}
	return show.Fixed(*f.ValueUM.Value, 1) + " µm"
}

func decimalsBeside(u figure.Figure) int {
	if u.Value == nil {
		return 1
	}
	return max(1, show.Decimals(*u.Value))
}

// uncertaintyText writes U and k; empty for a figure that has none by its nature.
func uncertaintyText(s *trace.Step, f *trace.Figure) string {
	switch {
	case f.What == "tolerance" || f.What == "limit" || f.ValueUM.Value == nil:
		return ""
	case f.ExpandedUM.Value == nil || f.Factor.Value == nil:
		return "U and k " + f.ExpandedUM.Reason
	}
	k := show.Shortest(*f.Factor.Value) // as the certificate states it
	if s.Kind == trace.Check {
		k = show.Fixed(*f.Factor.Value, 2)
	}
	return fmt.Sprintf("U = %s µm (k = %s)", show.Fixed(*f.ExpandedUM.Value, decimalsBeside(f.ExpandedUM)), k)
}

// csv has one row for each step, figure and gap.
func (t *traced) csv() table.Table {
	out := table.Table{Columns: []table.Column{
		{Title: "step"},
		{Title: "kind"},
		{Title: "name"},
		{Title: "row"},
		{Title: "of"},
		{Title: "quantity"},
		{Title: "what"},
		{Title: "value", Unit: "um"},
		{Title: "expanded", Unit: "um"},
		{Title: "k"},
		{Title: "verdict"},
		{Title: "text"},
		{Title: "code"},
		{Title: "mend"},
		{Title: "clause"},
		{Title: "rests on"},
		{Title: "file"},
		{Title: "line"},
	}}
	empty := table.Text("")
	for i, s := range t.chain.Steps {
		begin := []table.Cell{table.Count(i), table.Text(string(s.Kind)), table.Text(s.Name)}
		var below []string
		for _, b := range s.Below {
			below = append(below, fmt.Sprint(b))
		}
		file, line := placeCells(s.Sources)
		out.Add(append(begin[:3:3], table.Text("step"), empty, empty, empty, table.None(), table.None(), table.None(), empty, table.Text(strings.Join(s.Words, "; ")),
			empty, empty, empty, table.Text(strings.Join(below, " ")), file, line)...)
		for _, f := range s.Figures {
			file, line := placeCells([]rules.Source{f.Source})
			out.Add(append(begin[:3:3], table.Text("figure"), table.Text(f.Of), table.Text(string(f.Quantity)), table.Text(f.What), rawFigure(f.ValueUM), rawFigure(f.ExpandedUM), rawFigure(f.Factor),
				table.Text(f.Verdict), empty, empty, empty, empty, empty, file, line)...)
		}
		for _, g := range s.Gaps {
			c, _ := trace.CodeOf(g.Code)
			file, line := placeCells(g.Sources)
			out.Add(append(begin[:3:3], table.Text("gap"), empty, empty, empty, table.None(), table.None(), table.None(), empty, table.Text(g.Sentence),
				table.Text(g.Code), table.Text(c.Mend), table.Text(c.Clause), empty, file, line)...)
		}
	}
	return out
}

// placeCells is the first place of several.
func placeCells(list []rules.Source) (file, line table.Cell) {
	if len(list) == 0 {
		return table.Text(""), table.None()
	}
	if list[0].Line == 0 {
		return table.Text(list[0].File), table.None()
	}
	return table.Text(list[0].File), table.Count(list[0].Line)
}

func rawFigure(f figure.Figure) table.Cell {
	if f.Value == nil {
		return table.None()
	}
	return table.Number("", *f.Value)
}
