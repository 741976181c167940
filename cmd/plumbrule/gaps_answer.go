package main

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/audit"
)

// gapsJSON is what audit --gaps prints as JSON: an interface, to which fields are only added.
type gapsJSON struct {
	From      string             `json:"from"` // first instant of the period
	At        string             `json:"at"`   // its end
	Hindsight bool               `json:"hindsight"`
	Devices   []string           `json:"devices"`       // looked at; empty: all
	History   bool               `json:"history_known"` // rewritten evidence was looked for
	Files     bool               `json:"files_compared"`
	Findings  []auditFindingJSON `json:"findings"` // worst first
}

type auditFindingJSON struct {
	Code     string       `json:"code"`
	Title    string       `json:"title"`
	Subject  string       `json:"subject"` // device, artifact, job or procedure; else the path of a record, or "repository"
	Sentence string       `json:"sentence"`
	Mend     string       `json:"mend"`
	Clauses  []string     `json:"clauses"`
	Sources  []sourceJSON `json:"sources"`
}

func (g *gapList) answer() answer {
	t := table.Table{Columns: []table.Column{{Title: "subject"}, {Title: "what an auditor would find", Wrap: true}}}
	raw := table.Table{Columns: []table.Column{
		{Title: "code"},
		{Title: "subject"},
		{Title: "sentence"},
		{Title: "mend"},
		{Title: "clauses"},
		{Title: "file"},
		{Title: "line"},
	}}
	for i := range g.findings {
		x := &g.findings[i]
		file, line := placeCells(x.Sources)
		t.Add(table.Text(x.Subject), table.Text(x.Sentence))
		raw.Add(table.Text(x.Code), table.Text(x.Subject), table.Text(x.Sentence), table.Text(x.Mend), table.Text(strings.Join(x.Clauses, "; ")), file, line)
	}
	out := answer{JSON: g.json(), CSV: raw, Above: []string{g.headline()}, Table: t, Below: g.unseen(), Page: g.mends()}
	if len(g.findings) == 0 {
		out.Table = table.Table{}
	}
	return out
}

// headline says how much was found, in which period.
func (g *gapList) headline() string {
	zone := zoneOf(g.set)
	text := "nothing that an auditor would find in what the records state"
	if n := len(g.findings); n > 0 {
		text = counted(n, "finding")
	}
	return fmt.Sprintf("From %s to %s: %s.", g.in.From.In(zone).Format("2006-01-02"), g.in.At.In(zone).Format("2006-01-02 15:04 MST"), text)
}

// unseen says what was not looked at.
func (g *gapList) unseen() []string {
	var out []string
	if g.in.Log == nil {
		out = append(out, "The past of the records is not known: whether evidence was rewritten was not looked at.")
	}
	if g.in.Looks == nil {
		out = append(out, "The files that records name were not compared with their SHA-256.")
	}
	return out
}

// mends says, once for each kind of finding, what would mend it and which clauses it is about.
func (g *gapList) mends() *page {
	p := &page{}
	for i := range g.findings {
		x := &g.findings[i]
		if i > 0 && g.findings[i-1].Code == x.Code {
			continue
		}
		if i == 0 {
			p.head("What would mend it")
		}
		c, _ := audit.CodeOf(x.Code)
		p.item("%s (%s): %s", c.Title, x.Code, x.Mend)
		p.sub("%s", clausesText(x.Clauses))
	}
	return p
}

// clausesText names each standard once, with its clauses.
func clausesText(clauses []string) string {
	var out []string
	last := ""
	for _, c := range clauses {
		standard, number, _ := strings.Cut(c, ", ")
		if standard == last {
			out[len(out)-1] += ", " + number
			continue
		}
		last = standard
		out = append(out, c)
	}
	return strings.Join(out, "; ")
}

func (g *gapList) json() gapsJSON {
	zone := zoneOf(g.set)
	out := gapsJSON{
		From: g.in.From.In(zone).Format(time.RFC3339), At: g.in.At.In(zone).Format(time.RFC3339), Hindsight: g.in.Options.Hindsight,
		Devices: append([]string{}, g.in.Devices...), History: g.in.Log != nil, Files: g.in.Looks != nil, Findings: []auditFindingJSON{},
	}
	for i := range g.findings {
		x := &g.findings[i]
		c, _ := audit.CodeOf(x.Code)
		out.Findings = append(out.Findings, auditFindingJSON{x.Code, c.Title, x.Subject, x.Sentence, x.Mend, append([]string{}, x.Clauses...), sourcesJSON(x.Sources)})
	}
	return out
}
