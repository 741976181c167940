package main

import (
	"math"
	"time"

	"plumbrule/records"
	"plumbrule/rules"
)

type explainJSON struct {
	At       string         `json:"at"`
	Commit   *string        `json:"commit"`
	Device   deviceJSON     `json:"device"`
	Evidence []evidenceJSON `json:"evidence"`
	Charts   []chartState   `json:"charts"`
	History  []eventJSON    `json:"history"`
}

type evidenceJSON struct {
	From                   string              `json:"from"`
	Quantity               string              `json:"quantity"`
	Feature                string              `json:"feature"`
	Time                   string              `json:"time"`
	Verdict                string              `json:"verdict"`
	Rule                   string              `json:"rule"`
	RuleFrom               string              `json:"rule_from"`
	ErrorUM                float64             `json:"error_um"`
	MPEUM                  float64             `json:"mpe_um"`
	MPE                    string              `json:"mpe"`
	LengthMM               *float64            `json:"length_mm"`
	LengthIsPath           bool                `json:"length_is_path"`
	ExpandedUM             *float64            `json:"expanded_um"`
	CoverageFactor         *float64            `json:"k"`
	EffectiveDOF           *float64            `json:"nu_eff"`
	Ratio                  *float64            `json:"ratio"`
	AcceptanceLimitUM      *float64            `json:"acceptance_limit_um"`
	RejectionLimitUM       *float64            `json:"rejection_limit_um"`
	ConformanceProbability *float64            `json:"conformance_probability"`
	ReferenceMM            *float64            `json:"reference_mm"`
	ThermalShiftUM         *float64            `json:"thermal_shift_um"`
	ErrorsUM               []float64           `json:"errors_um"`
	Components             []componentJSON     `json:"components"`
	Test                   string              `json:"test"`
	TestSource             string              `json:"test_source"`
	Parameters             []testParameterJSON `json:"parameters"`
	Fits                   []fitJSON           `json:"fits"`
	Remarks                []string            `json:"remarks"`
	Sources                []sourceJSON        `json:"sources"`
}

type componentJSON struct {
	Name           string  `json:"name"`
	ContributionUM float64 `json:"contribution_um"`
	Share          float64 `json:"share"`
	Source         string  `json:"source"`
}

type chartState struct {
	Procedure   string   `json:"procedure"`
	Artifact    string   `json:"artifact"`
	Feature     string   `json:"feature"`
	Quantity    string   `json:"quantity"`
	Points      int      `json:"points"`
	Provisional bool     `json:"provisional"`
	Signals     []string `json:"signals"`
}

type eventJSON struct {
	Kind   string `json:"kind"`
	Time   string `json:"time"`
	By     string `json:"by"`
	Reason string `json:"reason"`
	File   string `json:"file"`
}

func (j *judged) explainJSON(d *rules.Device) explainJSON {
	zone := zoneOf(j.set)
	out := explainJSON{
		At: j.at.In(zone).Format(time.RFC3339), Commit: commitOrNull(j.commit), Device: deviceJSONOf(d), Evidence: []evidenceJSON{}, Charts: []chartState{}, History: []eventJSON{},
	}
	for i := range d.Evidence {
		out.Evidence = append(out.Evidence, evidenceJSONOf(&d.Evidence[i], j.set))
	}
	for _, c := range d.Charts {
		state := chartState{c.Procedure, c.Artifact, c.Feature, string(c.Quantity), c.Points, c.Provisional, []string{}}
		for _, s := range c.Signals {
			state.Signals = append(state.Signals, string(s.Test))
		}
		out.Charts = append(out.Charts, state)
	}
	for _, e := range d.Service.History {
		out.History = append(out.History, eventJSON{string(e.Kind), e.Time.Format(time.RFC3339), e.By, e.Reason, e.File})
	}
	return out
}

func evidenceJSONOf(e *rules.Evidence, set *records.Set) evidenceJSON {
	d, zone := e.Decision, zoneOf(set)
	out := evidenceJSON{
		From: e.From, Quantity: string(e.Quantity), Feature: e.Feature, Time: e.Time.In(zone).Format(time.RFC3339),
		Verdict: string(d.Verdict), Rule: string(d.Rule), ErrorUM: d.ErrorUM, MPEUM: d.MPEUM, MPE: e.Limit.MPE.String(),
		ExpandedUM: d.ExpandedUM.Value, Ratio: d.Ratio.Value, AcceptanceLimitUM: d.AcceptanceLimitUM.Value,
		RejectionLimitUM: d.RejectionLimitUM.Value, ConformanceProbability: d.ConformanceProbability.Value,
		ErrorsUM: []float64{d.ErrorUM}, Components: []componentJSON{}, Parameters: []testParameterJSON{}, Fits: []fitJSON{}, Remarks: []string{},
		Sources: sourcesJSON([]rules.Source{e.Source}),
	}
	if j := e.Judgement; j != nil {
		out.judged(j)
		out.scanned(j, set.Site)
	}
	return out
}

func (out *evidenceJSON) judged(j *rules.Judgement) {
	length := j.Length.Millimetres()
	out.RuleFrom, out.LengthMM, out.LengthIsPath = j.RuleFrom, &length, j.LengthIsPath
	out.CoverageFactor, out.EffectiveDOF = finite(j.Uncertainty.CoverageFactor), finite(j.Uncertainty.EffectiveDOF)
	if !j.Quantity.OneSided() {
		out.ReferenceMM, out.ThermalShiftUM = finite(j.ReferenceMM), finite(j.ShiftUM)
	}
	out.ErrorsUM = j.ErrorsUM
	for i, c := range j.Components {
		out.Components = append(out.Components, componentJSON{c.Name, c.ContributionUM(), j.Uncertainty.Shares[i], c.Source})
	}
	out.Sources = append(out.Sources, sourcesJSON([]rules.Source{{File: j.Certificate.File, Line: j.CertifiedLine}})...)
}

// finite returns a figure, or nothing for one JSON cannot write: infinite degrees of freedom.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}
