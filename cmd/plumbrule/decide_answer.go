package main

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules/conformity"
)

// decisionJSON is what decide prints as JSON. A figure that does not exist is null, and reasons says why under its name.
type decisionJSON struct {
	Verdict                string            `json:"verdict"`
	Rule                   string            `json:"rule"`
	RuleSource             string            `json:"rule_source"`
	ErrorUM                float64           `json:"error_um"`
	ThermalShiftUM         *float64          `json:"thermal_shift_um,omitempty"`
	MPEUM                  float64           `json:"mpe_um"`
	OneSided               bool              `json:"one_sided"`
	ExpandedUM             *float64          `json:"expanded_um"`
	CoverageFactor         *float64          `json:"coverage_factor"`
	Ratio                  *float64          `json:"ratio"`
	AcceptanceLimitUM      *float64          `json:"acceptance_limit_um"`
	RejectionLimitUM       *float64          `json:"rejection_limit_um"`
	ConformanceProbability *float64          `json:"conformance_probability"`
	Reasons                map[string]string `json:"reasons"`
	Notes                  []noteJSON        `json:"notes"`
}

type noteJSON struct {
	Code     string `json:"code"`
	Sentence string `json:"sentence"`
}

func (d decided) answer() answer {
	doc := ruleDoc(d.Rule)
	var below []string
	for _, n := range d.Notes {
		below = append(below, "note: "+n.Text)
	}
	below = append(below, fmt.Sprintf("rule: %s, %s (%s)", doc.Rule, doc.Title, doc.Source))
	return answer{JSON: d.json(doc), CSV: d.csv(), Above: []string{words(d.Verdict)}, Table: d.table(), Below: below}
}

func (d decided) json(doc conformity.RuleDoc) decisionJSON {
	out := decisionJSON{
		Verdict: string(d.Verdict), Rule: string(d.Rule), RuleSource: doc.Source,
		ErrorUM: d.ErrorUM, MPEUM: d.MPEUM, OneSided: d.oneSided,
		ExpandedUM: d.ExpandedUM.Value, CoverageFactor: d.coverageFactor, Ratio: d.Ratio.Value,
		AcceptanceLimitUM: d.AcceptanceLimitUM.Value, RejectionLimitUM: d.RejectionLimitUM.Value,
		ConformanceProbability: d.ConformanceProbability.Value,
		Reasons:                map[string]string{}, Notes: []noteJSON{},
	}
	if d.fromReading {
		out.ThermalShiftUM = &d.thermalShiftUM
	}
	for name, figure := range map[string]conformity.Figure{
		"expanded_um": d.ExpandedUM, "ratio": d.Ratio, "acceptance_limit_um": d.AcceptanceLimitUM,
		"rejection_limit_um": d.RejectionLimitUM, "conformance_probability": d.ConformanceProbability,
	} {
		if figure.Value == nil {
			out.Reasons[name] = figure.Reason
		}
	}
	if d.coverageFactor == nil {
		out.Reasons["coverage_factor"] = d.ExpandedUM.Reason
	}
	for _, n := range d.Notes {
		out.Notes = append(out.Notes, noteJSON{Code: string(n.ID), Sentence: n.Text})
	}
	return out
}

// csv has the same names as the JSON.
func (d decided) csv() table.Table {
	um := func(title string) table.Column { return table.Column{Title: title, Unit: "µm"} }
	t := table.Table{Columns: []table.Column{
		{Title: "verdict"},
		{Title: "rule"},
		um("error"), um("thermal shift"), um("mpe"), um("expanded"),
		{Title: "coverage factor"},
		{Title: "ratio"},
		um("acceptance limit"), um("rejection limit"),
		{Title: "conformance probability"},
	}}
	shift, factor := table.None(), table.None()
	if d.fromReading {
		shift = table.Number("", d.thermalShiftUM)
	}
	if d.coverageFactor != nil {
		factor = table.Number("", *d.coverageFactor)
	}
	raw := func(f conformity.Figure) table.Cell {
		if f.Value == nil {
			return table.None()
		}
		return table.Number("", *f.Value)
	}
	t.Add(table.Text(string(d.Verdict)), table.Text(string(d.Rule)), table.Number("", d.ErrorUM), shift, table.Number("", d.MPEUM),
		raw(d.ExpandedUM), factor, raw(d.Ratio), raw(d.AcceptanceLimitUM), raw(d.RejectionLimitUM), raw(d.ConformanceProbability))
	return t
}

// table lists the figures below each other, because their units differ.
func (d decided) table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "figure"}, {Title: "value", Align: table.Decimal}, {Title: "unit"}, {Title: "from", Wrap: true},
	}}
	least := d.decimals()
	decimals := d.apart(least)
	fixed := func(v float64) string { return show.Fixed(v, decimals) }
	signed := func(v float64) string { return show.Signed(v, decimals) }
	add := func(name, unit string, value float64, text func(float64) string, from string) {
		t.Add(table.Text(name), table.Number(text(value), value), table.Text(unit), table.Text(from))
	}
	figure := func(name, unit string, f conformity.Figure, text func(float64) string, from string) {
		if f.Value == nil {
			t.Add(table.Text(name), table.None(), table.Text(""), table.Text(d.whyNone(f)))
			return
		}
		add(name, unit, *f.Value, text, from)
	}
	errorFrom := "as given"
	if d.fromReading {
		errorFrom = "reading - reference - thermal shift"
	}
	add("error", "µm", d.ErrorUM, signed, errorFrom)
	if d.fromReading {
		add("thermal shift", "µm", d.thermalShiftUM, signed, "reference·(α - α_d)(T - 20 °C)")
	}
	add("limit (MPE)", "µm", d.MPEUM, fixed, d.limitFrom())
	factor := ""
	if d.coverageFactor != nil {
		factor = "k = " + show.Shortest(*d.coverageFactor)
	}
	figure("expanded uncertainty U", "µm", d.ExpandedUM, func(v float64) string { return show.Fixed(v, least) }, factor)
	figure("ratio MPE/U", "", d.Ratio, show.Ratio, "")
	figure("acceptance limit", "µm", d.AcceptanceLimitUM, fixed, "largest |error| that passes")
	figure("rejection limit", "µm", d.RejectionLimitUM, fixed, d.rejectionFrom())
	figure("conformance probability", "", d.ConformanceProbability, d.probability, d.probabilityFrom())
	return t
}

func (d decided) limitFrom() string {
	from := d.mpe.String()
	if d.mpe.GrowsWithLength() {
		from += " at L = " + d.length.String()
	}
	if d.oneSided {
		from += ", upper limit only"
	}
	return from
}

func (d decided) rejectionFrom() string {
	if d.Rule == conformity.ISO14253 {
		return "smallest |error| that fails"
	}
	return "|error| above it fails"
}

func (d decided) probabilityFrom() string {
	if d.oneSided {
		return "of a true error up to the MPE"
	}
	return "of a true error within ±MPE"
}

// whyNone says why there is no figure, unless a note below the table says it too.
func (d decided) whyNone(f conformity.Figure) string {
	for _, n := range d.Notes {
		if strings.Contains(n.Text, f.Reason) {
			return "see the note"
		}
	}
	return f.Reason
}

// probability keeps the difference to certainty: with an uncertainty above 0 nothing is certain, even where the float is 1.
func (d decided) probability(p float64) string {
	if p == 1 && d.ExpandedUM.Value != nil && *d.ExpandedUM.Value > 0 {
		p = math.Nextafter(1, 0)
	}
	return show.Probability(p)
}

// decimals returns how many decimals show U well; at least one, because the figures come from a command line and should
// be recognised.
func (d decided) decimals() int {
	if d.ExpandedUM.Value == nil {
		return 1
	}
	return max(1, show.Decimals(*d.ExpandedUM.Value))
}

// apart returns how many decimals show on which side of each limit the error lies.
func (d decided) apart(least int) int {
	limits := []float64{d.MPEUM}
	for _, f := range []conformity.Figure{d.AcceptanceLimitUM, d.RejectionLimitUM} {
		if f.Value != nil {
			limits = append(limits, *f.Value)
		}
	}
	return show.Apart(least, math.Abs(d.ErrorUM), conformity.TieUM, limits...)
}

// words spells a verdict for people.
func words(v conformity.Verdict) string {
	switch v {
	case conformity.ConditionalPass:
		return "conditional pass"
	case conformity.ConditionalFail:
		return "conditional fail"
	case conformity.Pass, conformity.Fail, conformity.Inconclusive:
	}
	return string(v)
}

func ruleDoc(rule conformity.Rule) conformity.RuleDoc {
	for _, doc := range conformity.Rules() {
		if doc.Rule == rule {
			return doc
		}
	}
	return conformity.RuleDoc{Rule: rule}
}
