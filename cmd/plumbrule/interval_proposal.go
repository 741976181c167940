package main

import (
	"fmt"
	"math"
	"strconv"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"
)

// proposalJSON is one proposal. A figure that does not exist is null, and null_reasons says why under its name.
type proposalJSON struct {
	Subject        string                 `json:"subject"`
	Of             string                 `json:"of"` // "device", "kind" or "all"
	Method         string                 `json:"method"`
	CurrentMonths  float64                `json:"current_months"`
	ProposedMonths *float64               `json:"proposed_months"`
	Direction      string                 `json:"direction"`
	Confidence     *float64               `json:"confidence"`
	Evidence       []proposalEvidenceJSON `json:"evidence"`
	Reasons        []string               `json:"reasons"`
	NullReasons    map[string]string      `json:"null_reasons"`
}

type proposalEvidenceJSON struct {
	Name   string   `json:"name"`
	Unit   string   `json:"unit"`
	Value  *float64 `json:"value"`
	Reason string   `json:"reason"`
}

// proposed is a proposal with what it is about: a device, a kind of device, or all outcomes of a file.
type proposed struct {
	interval.Proposal
	of      string
	current quantity.Interval // as the records state it; zero: a number of months was given
}

func (p proposed) json() proposalJSON {
	out := proposalJSON{
		Subject: p.Subject, Of: p.of, Method: string(p.Method), CurrentMonths: p.CurrentMonths, ProposedMonths: p.ProposedMonths,
		Direction: string(p.Direction), Confidence: p.Confidence.Value, Evidence: []proposalEvidenceJSON{}, Reasons: notNull(p.Reasons), NullReasons: map[string]string{},
	}
	if p.ProposedMonths == nil {
		out.NullReasons["proposed_months"] = p.whyNone()
	}
	if p.Confidence.Value == nil {
		out.NullReasons["confidence"] = p.Confidence.Reason
	}
	for _, e := range p.Evidence {
		out.Evidence = append(out.Evidence, proposalEvidenceJSON{string(e.Name), e.Unit, e.Value, e.Reason})
	}
	return out
}

// whyNone says why no interval is proposed: the reason given last is about how far to go.
func (p proposed) whyNone() string {
	if n := len(p.Reasons); n > 0 {
		return p.Reasons[n-1]
	}
	return "the method knows none"
}

// figure finds a figure the proposal rests on.
func (p proposed) figure(name interval.EvidenceName) (float64, bool) {
	for _, e := range p.Evidence {
		if e.Name == name && e.Value != nil {
			return *e.Value, true
		}
	}
	return 0, false
}

// evidence puts what the proposal rests on into a few words.
func (p proposed) evidence() string {
	if ratio, found := p.figure(interval.AsFoundRatio); found {
		size := "at " + show.Fixed(ratio*100, 1) + " % of the MPE"
		if p.Direction == interval.Shorten {
			return "not in tolerance, " + size
		}
		return "found " + size
	}
	n, _ := p.figure(interval.OutcomesCounted)
	in, judged := p.figure(interval.InToleranceCount)
	if judged {
		return fmt.Sprintf("%.0f of %.0f in tolerance, %s", in, n, map[interval.Direction]string{
			interval.Keep:     "not shown to miss or exceed the target",
			interval.Lengthen: "above the target by more than chance",
			interval.Shorten:  "below the target by more than chance",
		}[p.Direction])
	}
	if len(p.Reasons) > 0 {
		return p.Reasons[0]
	}
	return "none"
}

func (p proposed) currentWords() string {
	if !p.current.IsZero() {
		return p.current.String()
	}
	return monthsWords(p.CurrentMonths)
}

// monthsWords writes a number of months that was given or reckoned, without the noise of the arithmetic.
func monthsWords(months float64) string {
	return strconv.FormatFloat(months, 'g', 6, 64) + " months"
}

// proposedWords rounds down: to whole months, or to the day where a whole month would say something else.
func (p proposed) proposedWords() string {
	if p.ProposedMonths == nil {
		return "none"
	}
	if p.Direction == interval.Keep {
		return p.currentWords()
	}
	return monthsDown(*p.ProposedMonths, p.CurrentMonths)
}

// monthsDown writes a number of months rounded down. A whole number that does not go the way of the proposal, or is no
// month at all, is told to the day.
func monthsDown(months, current float64) string {
	whole := int(math.Floor(months * (1 + 1e-12))) // 12 × 1.25 is 15, whatever the arithmetic makes of it
	i := quantity.Interval{Months: whole}
	if whole == 0 || months > current && float64(whole) <= current {
		i.Days = int(math.Floor((months-float64(whole))*rules.DaysPerMonth + 1e-9))
	}
	if i.IsZero() {
		return "less than a day"
	}
	return i.String()
}

// proposalCSV has the names of the JSON.
func proposalCSV(list []proposed) table.Table {
	t := table.Table{}
	for _, name := range []string{"subject", "of", "method", "current months", "proposed months", "direction", "confidence", "evidence"} {
		t.Columns = append(t.Columns, table.Column{Title: name})
	}
	for _, p := range list {
		t.Add(table.Text(p.Subject), table.Text(p.of), table.Text(string(p.Method)), table.Number("", p.CurrentMonths), numberOrNone(p.ProposedMonths),
			table.Text(string(p.Direction)), numberOrNone(p.Confidence.Value), table.Text(p.evidence()))
	}
	return t
}

func numberOrNone(value *float64) table.Cell {
	if value == nil {
		return table.None()
	}
	return table.Number(fourDigits(*value), *value)
}
