package main

import (
	"fmt"
	"strings"

	"plumbrule/cmd/plumbrule/internal/card"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
)

// cardsJSON is what card prints as JSON.
type cardsJSON struct {
	WidthMM   float64    `json:"width_mm"`
	HeightMM  float64    `json:"height_mm"`
	Sheets    int        `json:"sheets"`
	Commit    *string    `json:"commit"`
	WhyNone   string     `json:"commit_reason"`
	PrintedOn string     `json:"printed_on"`
	At        string     `json:"at"`
	Cards     []cardJSON `json:"cards"`
}

type cardJSON struct {
	Device  string   `json:"device"`
	About   []string `json:"about"`
	Fitness string   `json:"fitness"`
	Day     string   `json:"day"`
	Use     string   `json:"use"`
	Due     []string `json:"due"`
	Record  string   `json:"record"`
	Code    string   `json:"code"`
}

func (p *printing) answer() answer {
	first := p.cards[0]
	out := cardsJSON{
		WidthMM: p.size.WidthMM, HeightMM: p.size.HeightMM, Sheets: p.size.Sheets(len(p.cards)), WhyNone: p.whyNot,
		PrintedOn: first.Printed, At: first.At, Cards: []cardJSON{},
	}
	if first.Commit != "" {
		out.Commit = &first.Commit
	}
	t := table.Table{Columns: []table.Column{{Title: "device"}, {Title: "fitness"}, {Title: "use", Wrap: true}, {Title: "due", Wrap: true}}}
	raw := table.Table{Columns: []table.Column{
		{Title: "device"}, {Title: "about"}, {Title: "fitness"}, {Title: "day"}, {Title: "use"}, {Title: "due"}, {Title: "record"}, {Title: "commit"},
	}}
	for _, c := range p.cards {
		out.Cards = append(out.Cards, cardJSON{
			Device: c.Device, About: list(c.About), Fitness: c.Fitness, Day: c.Day, Use: c.Use, Due: list(c.Due), Record: c.Record, Code: c.Code(),
		})
		t.Add(table.Text(c.Device), fitnessWord(rules.Fitness(c.Fitness)), table.Text(c.Use), table.Text(strings.Join(c.Due, "; ")))
		raw.Add(table.Text(c.Device), table.Text(strings.Join(c.About, "; ")), table.Text(c.Fitness), table.Text(c.Day), table.Text(c.Use),
			table.Text(strings.Join(c.Due, "; ")), table.Text(c.Record), table.Text(c.Commit))
	}
	records := "records of commit " + first.Commit
	if first.Commit == "" {
		records = card.NotCommitted + ": " + p.whyNot
	}
	return answer{
		JSON: out, CSV: raw, Table: t,
		Above: []string{fmt.Sprintf("%s of %s, judged for %s", counted(len(p.cards), "card"), p.size, first.At)},
		Below: []string{records},
	}
}

// list is never nil, so that JSON says [] and not null.
func list(texts []string) []string { return append([]string{}, texts...) }
