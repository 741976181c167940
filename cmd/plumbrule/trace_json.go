package main

import (
	"time"

	"plumbrule/rules"
	"plumbrule/rules/trace"
)

// traceJSON is what trace prints as JSON: an interface, to which fields are only added.
type traceJSON struct {
	At        string          `json:"at"`
	Hindsight bool            `json:"hindsight"`
	Subject   string          `json:"subject"`
	Kind      string          `json:"kind"`
	Gapless   bool            `json:"gapless"` // no gap was found in what the records state
	Steps     []traceStepJSON `json:"steps"`   // the first is what was asked about
	Gaps      []traceGapJSON  `json:"gaps"`    // in the order of the steps
}

type traceStepJSON struct {
	Step    int               `json:"step"`
	Kind    string            `json:"kind"`
	Name    string            `json:"name"`
	Words   []string          `json:"words"`
	Figures []traceFigureJSON `json:"figures"`
	RestsOn []int             `json:"rests_on"` // steps
	Sources []sourceJSON      `json:"sources"`
}

type traceFigureJSON struct {
	Of             string       `json:"of"`
	Quantity       string       `json:"quantity"`
	What           string       `json:"what"` // "tolerance", "limit", "error" or "value"
	ValueUM        *float64     `json:"value_um"`
	ValueReason    string       `json:"value_reason"`
	ExpandedUM     *float64     `json:"expanded_um"`
	K              *float64     `json:"k"`
	ExpandedReason string       `json:"expanded_reason"`
	Verdict        string       `json:"verdict"`
	Sources        []sourceJSON `json:"sources"`
}

type traceGapJSON struct {
	Number   int          `json:"number"`
	Step     int          `json:"step"`
	Code     string       `json:"code"`
	Sentence string       `json:"sentence"`
	Mend     string       `json:"mend"`
	Clause   string       `json:"clause"`
	Sources  []sourceJSON `json:"sources"`
}

func (t *traced) json() traceJSON {
	root := t.chain.Steps[0]
	out := traceJSON{
		At: t.at.In(zoneOf(t.set)).Format(time.RFC3339), Hindsight: t.options.Hindsight, Subject: root.Name, Kind: string(root.Kind),
		Steps: []traceStepJSON{}, Gaps: []traceGapJSON{},
	}
	for i, s := range t.chain.Steps {
		row := traceStepJSON{
			Step: i, Kind: string(s.Kind), Name: s.Name, Words: append([]string{}, s.Words...), Figures: []traceFigureJSON{},
			RestsOn: append([]int{}, s.Below...), Sources: sourcesJSON(s.Sources),
		}
		for _, f := range s.Figures {
			x := traceFigureJSON{
				Of: f.Of, Quantity: string(f.Quantity), What: f.What, ValueUM: f.ValueUM.Value, ValueReason: f.ValueUM.Reason,
				ExpandedUM: f.ExpandedUM.Value, K: f.Factor.Value, ExpandedReason: f.ExpandedUM.Reason, Verdict: f.Verdict, Sources: sourcesJSON([]rules.Source{f.Source}),
			}
			row.Figures = append(row.Figures, x)
		}
		out.Steps = append(out.Steps, row)
	}
	for n, g := range t.chain.Gaps() {
		c, _ := trace.CodeOf(g.Gap.Code)
		out.Gaps = append(out.Gaps, traceGapJSON{n + 1, g.Step, g.Gap.Code, g.Gap.Sentence, c.Mend, c.Clause, sourcesJSON(g.Gap.Sources)})
	}
	out.Gapless = len(out.Gaps) == 0
	return out
}
