package main

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/plan"
)

// planned is a plan with the records it was made from.
type planned struct {
	*judged
	plan.Plan
}

// planJSON is what plan prints as JSON: an interface, to which fields are only added.
type planJSON struct {
	At        string          `json:"at"`
	Hindsight bool            `json:"hindsight"`
	From      string          `json:"from"`
	Until     string          `json:"until"`
	Batches   []planBatchJSON `json:"batches"`
	Jobs      []planJobJSON   `json:"jobs"`
}

type planBatchJSON struct {
	UID   string         `json:"uid"`
	Kind  string         `json:"kind"` // "calibration" or "check"
	With  string         `json:"with"` // artifact or laboratory; empty: not known
	Place string         `json:"place"`
	Week  string         `json:"week"` // its Monday
	Day   string         `json:"day"`
	Tasks []planTaskJSON `json:"tasks"`
}

type planTaskJSON struct {
	Subject   string       `json:"subject"`
	Place     string       `json:"place"`
	What      string       `json:"what"`
	Day       string       `json:"day"`
	Due       string       `json:"due"`
	Late      bool         `json:"late"`
	Expected  bool         `json:"expected"`
	Lead      string       `json:"lead"`
	Objection string       `json:"objection"`
	Jobs      []string     `json:"jobs"`
	Sources   []sourceJSON `json:"sources"`
}

type planJobJSON struct {
	Job     string        `json:"job"`
	Title   string        `json:"title"`
	Begin   string        `json:"begin"`
	End     string        `json:"end"`
	Covered bool          `json:"covered"`
	Gaps    []planGapJSON `json:"gaps"`
}

type planGapJSON struct {
	Device   string       `json:"device"`
	Sentence string       `json:"sentence"`
	Sources  []sourceJSON `json:"sources"`
}

func (p *planned) answer() answer {
	a := answer{JSON: p.json(), CSV: p.csv(), Table: p.table(), Page: &page{}}
	late := 0
	for i := range p.Tasks {
		if p.Tasks[i].Late {
			late++
		}
	}
	headline := fmt.Sprintf("from %s to %s: %s in %s", p.From, p.Until, counted(len(p.Tasks), "piece")+" of work", batches(len(p.Batches)))
	if late > 0 {
		headline += fmt.Sprintf(", %d late", late)
	}
	a.Above = []string{headline}
	if len(p.Batches) == 0 {
		a.Table = table.Table{}
	}
	objections := map[string]bool{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if text := t.Objection; text != "" && !objections[text] {
			if len(objections) == 0 {
				a.Page.head("cannot be done as it is:")
			}
			objections[text] = true
			a.Page.item("%s %s of %s: %s", t.Subject, t.What, t.Day, text)
		}
	}
	if len(p.Jobs) > 0 {
		a.Page.head("jobs:")
	}
	for _, j := range p.Jobs {
		days := fmt.Sprintf("%s to %s", j.Job.Begin, j.Job.End)
		if len(j.Gaps) == 0 {
			a.Page.item("%s, %s: covered by %s, if the work above is done and passes", j.Job.ID, days, strings.Join(j.Job.Devices, ", "))
			continue
		}
		a.Page.item("%s, %s: not covered", j.Job.ID, days)
		for _, g := range j.Gaps {
			a.Page.sub("%s: %s", g.Device, g.Sentence)
		}
	}
	return a
}

func batches(n int) string {
	if n == 1 {
		return "1 batch"
	}
	return fmt.Sprintf("%d batches", n)
}

// table has one row for each batch and subject.
func (p *planned) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "week of"}, {Title: "by"}, {Title: "work"}, {Title: "with", Wrap: true}, {Title: "what", Wrap: true}, {Title: "place", Optional: 1, Wrap: true},
	}}
	for i := range p.Batches {
		b := &p.Batches[i]
		for n := range b.Tasks {
			x := &b.Tasks[n]
			what := x.Subject
			if x.Kind == plan.Check {
				what += " " + x.What
			}
			by := table.Text(x.Day.String())
			if x.Late {
				by = table.Word(x.Day.String()+" late", table.Bad)
			}
			row := []table.Cell{table.Text(b.Week.String()), by, table.Text(string(b.Kind)), table.Text(b.With), table.Text(what), table.Text(x.Place)}
			if n > 0 {
				row[0], row[2], row[3] = table.Text(""), table.Text(""), table.Text("")
				if b.Place != "" {
					row[5] = table.Text("")
				}
			}
			t.Add(row...)
		}
	}
	return t
}

// csv has one row for each piece of work.
func (p *planned) csv() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "week"},
		{Title: "day"},
		{Title: "due"},
		{Title: "kind"},
		{Title: "subject"},
		{Title: "what"},
		{Title: "with"},
		{Title: "place"},
		{Title: "late"},
		{Title: "expected"},
		{Title: "lead"},
		{Title: "objection"},
		{Title: "jobs"},
		{Title: "uid"},
	}}
	for i := range p.Batches {
		b := &p.Batches[i]
		for n := range b.Tasks {
			x := &b.Tasks[n]
			lead := ""
			if !x.Lead.IsZero() {
				lead = x.Lead.String()
			}
			t.Add(table.Text(b.Week.String()), table.Text(x.Day.String()), table.Text(x.Due.String()), table.Text(string(x.Kind)), table.Text(x.Subject), table.Text(x.What),
				table.Text(x.With), table.Text(x.Place), table.Text(fmt.Sprint(x.Late)), table.Text(fmt.Sprint(x.Expected)), table.Text(lead),
				table.Text(x.Objection), table.Text(strings.Join(x.Jobs, " ")), table.Text(p.uid(b)))
		}
	}
	return t
}

func (p *planned) json() planJSON {
	out := planJSON{
		At: p.at.In(zoneOf(p.set)).Format(time.RFC3339), Hindsight: p.options.Hindsight, From: dateText(p.From), Until: dateText(p.Until),
		Batches: []planBatchJSON{}, Jobs: []planJobJSON{},
	}
	for i := range p.Batches {
		b := &p.Batches[i]
		row := planBatchJSON{UID: p.uid(b), Kind: string(b.Kind), With: b.With, Place: b.Place, Week: b.Week.String(), Day: b.Day.String(), Tasks: []planTaskJSON{}}
		for n := range b.Tasks {
			t := &b.Tasks[n]
			x := planTaskJSON{
				Subject: t.Subject, Place: t.Place, What: t.What, Day: t.Day.String(), Due: t.Due.String(), Late: t.Late, Expected: t.Expected, Objection: t.Objection,
				Jobs: append([]string{}, t.Jobs...), Sources: sourcesJSON(t.Sources),
			}
			if !t.Lead.IsZero() {
				x.Lead = t.Lead.String()
			}
			row.Tasks = append(row.Tasks, x)
		}
		out.Batches = append(out.Batches, row)
	}
	for _, j := range p.Jobs {
		row := planJobJSON{Job: j.Job.ID, Title: j.Job.Title, Begin: j.Job.Begin.String(), End: j.Job.End.String(), Covered: len(j.Gaps) == 0, Gaps: []planGapJSON{}}
		for _, g := range j.Gaps {
			row.Gaps = append(row.Gaps, planGapJSON{g.Device, g.Sentence, sourcesJSON(g.Sources)})
		}
		out.Jobs = append(out.Jobs, row)
	}
	return out
}
