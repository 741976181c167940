package main

import (
	"fmt"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
	"plumbrule/rules/interval"
)

// reviewJSON is what interval prints as JSON from the records: an interface, to which fields are only added.
type reviewJSON struct {
	At        string            `json:"at"`
	Hindsight bool              `json:"hindsight"`
	Target    float64           `json:"target"`
	Level     float64           `json:"level"`
	Lengthen  float64           `json:"lengthen"`
	Shorten   float64           `json:"shorten"`
	Within    float64           `json:"within"`
	Proposals []proposalJSON    `json:"proposals"`
	Outcomes  []calibrationJSON `json:"outcomes"`
	Without   []noOutcomeJSON   `json:"without_outcome"`
	Notes     []string          `json:"notes"`
}

type calibrationJSON struct {
	Device      string  `json:"device"`
	Certificate string  `json:"certificate"`
	Date        string  `json:"date"`
	File        string  `json:"file"`
	Previous    string  `json:"previous_file"`
	Months      float64 `json:"months"`
	Ratio       float64 `json:"ratio"`
	Verdict     string  `json:"verdict"`
	InTolerance bool    `json:"in_tolerance"`
}

type noOutcomeJSON struct {
	Device string     `json:"device"`
	Name   string     `json:"name"`
	Why    string     `json:"why"`
	First  bool       `json:"first"`
	Source sourceJSON `json:"source"`
}

func (r *intervalReview) json() reviewJSON {
	o := r.o
	out := reviewJSON{
		At: r.at.In(zoneOf(r.set)).Format(time.RFC3339), Hindsight: r.options.Hindsight, Target: o.target.value, Level: o.level.value,
		Lengthen: o.lengthen.value, Shorten: o.shorten.value, Within: o.within.value,
		Proposals: []proposalJSON{}, Outcomes: []calibrationJSON{}, Without: []noOutcomeJSON{}, Notes: notNull(r.notes),
	}
	for _, p := range r.proposals {
		out.Proposals = append(out.Proposals, p.json())
	}
	for _, d := range r.devices {
		h := r.histories[d.ID]
		for _, c := range h.Outcomes {
			out.Outcomes = append(out.Outcomes, calibrationJSON{
				d.ID, c.Certificate.Number, c.Certificate.Date.String(), c.Certificate.File, c.Previous.File, c.Months, c.Ratio, string(c.Verdict), c.InTolerance,
			})
		}
		for _, n := range h.Without {
			out.Without = append(out.Without, noOutcomeJSON{d.ID, n.Name, n.Why, n.First, sourcesJSON([]rules.Source{n.Source})[0]})
		}
	}
	return out
}

func (r *intervalReview) answer() answer {
	t := table.Table{Columns: []table.Column{
		{Title: "device or kind", Wrap: true}, {Title: "method"}, {Title: "current"}, {Title: "proposed"}, {Title: "direction"}, {Title: "evidence", Wrap: true},
	}}
	for _, p := range r.proposals {
		t.Add(table.Text(p.Subject), table.Text(methodWords(p.Method)), table.Text(p.currentWords()), table.Text(p.proposedWords()), directionCell(p.Direction), table.Text(p.evidence()))
	}
	name := "unreadable site"
	if r.set.Site != nil {
		name = r.set.Site.Name
	}
	a := answer{JSON: r.json(), CSV: proposalCSV(r.proposals), Table: t, Page: r.page(), Above: []string{fmt.Sprintf(
		"%s, %s: calibration intervals, target %s in tolerance, changes with %s confidence",
		name, r.at.In(zoneOf(r.set)).Format("2006-01-02 15:04 MST"), percent(r.o.target.value), percent(r.o.level.value))}}
	if len(r.proposals) == 0 {
		a.Table = table.Table{}
		a.Below = append(a.Below, "no proposal: there is no device with a calibration interval to review")
	} else {
		a.Below = append(a.Below, onlyProposal)
	}
	if open := r.inconclusive(); open > 0 {
		a.Below = append(a.Below, counted(open, "outcome")+" inconclusive, counted as not in tolerance: the decision rule asks for proof")
	}
	a.Below = append(a.Below, r.notes...)
	return a
}

// page tells what the proposals rest on if devices were chosen, and which calibrations say nothing.
func (r *intervalReview) page() *page {
	p := &page{}
	if r.detail {
		p.head("Reasons")
		for _, proposal := range r.proposals {
			p.proposal(proposal)
		}
		p.head("Outcomes, as found")
	}
	listed := 0
	for _, d := range r.devices {
		for _, c := range r.histories[d.ID].Outcomes {
			if !r.detail {
				break
			}
			listed++
			p.item("%s, %s: %s months after %s, %s, at %s %% of the MPE for %s at %s", d.ID, certificateName(c.Certificate), fourDigits(c.Months),
				c.Previous.Date, words(c.Verdict), show.Fixed(c.Ratio*100, 1), c.Of.Quantity, c.Of.Length)
		}
	}
	if r.detail && listed == 0 {
		p.item("none")
	}
	headed := false
	for _, d := range r.devices {
		for _, n := range r.histories[d.ID].Without {
			if n.First && !r.detail {
				continue
			}
			if !headed {
				p.head("Calibrations without an outcome")
				headed = true
			}
			p.item("%s, %s: %s", d.ID, n.Name, n.Why)
		}
	}
	return p
}

// inconclusive counts the outcomes that the decision rule leaves open.
func (r *intervalReview) inconclusive() (n int) {
	for _, d := range r.devices {
		for _, c := range r.histories[d.ID].Outcomes {
			if c.Verdict == conformity.Inconclusive {
				n++
			}
		}
	}
	return n
}

func methodWords(m interval.Method) string {
	if m == interval.MethodReliability {
		return "reliability"
	}
	return string(m)
}

func directionCell(d interval.Direction) table.Cell {
	if d == interval.Shorten {
		return table.Word(string(d), table.Doubtful)
	}
	return table.Text(string(d))
}
