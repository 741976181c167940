package main

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
)

// zoneOf is the site's zone, or UTC where the site cannot be read.
func zoneOf(set *records.Set) *time.Location {
	if set.Site == nil || set.Site.Zone == nil {
		return time.UTC
	}
	return set.Site.Zone
}

// evidence shows how a verdict came about, figure by figure.
func (p *page) evidence(d *rules.Device, e *rules.Evidence, set *records.Set, said told) {
	j, zone := e.Judgement, zoneOf(set)
	if j == nil {
		p.item("%s at %s, calibration of %s (%s)", e.Quantity, e.Feature, e.Time.In(zone).Format("2006-01-02"), placeText(e.Source))
		p.sub("error: %s µm as certified", show.Signed(e.Decision.ErrorUM, decimals(e.Decision)))
		p.sub("limit: %s", certifiedLimit(d, e))
		p.decision(e.Decision, "")
		return
	}
	p.item("%s %s by %s, %s (%s)", e.Quantity, e.Feature, e.From, e.Time.In(zone).Format("2006-01-02 15:04"), placeText(e.Source))
	unit := j.Check.Unit
	p.sub("reading: %s %s%s", show.Shortest(j.Reading.Values[j.ValueIndex]), unit, ofSeveral(len(j.Reading.Values)))
	p.scans(j, set.Site, said)
	p.test(j)
	if !j.Quantity.OneSided() {
		p.sub("reference: %s mm at 20 °C, certificate %s of %s (%s:%d)", show.LengthMM(j.ReferenceMM), j.Certificate.Number, j.Certificate.Date, j.Certificate.File, j.CertifiedLine)
		p.sub("temperature: %s", temperatureText(j))
	}
	p.sub("error: %s µm%s", show.Signed(j.Decision.ErrorUM, decimals(j.Decision)), formula(j))
	p.sub("limit: %s (%s:%d)", limitText(j), d.Record.File, j.Limit.Line)
	p.sub("uncertainty: U = %s µm (k = %s, ν_eff = %s) from the standard uncertainties %s", show.Fixed(j.Uncertainty.ExpandedUM, decimals(j.Decision)),
		show.Fixed(j.Uncertainty.CoverageFactor, 2), freedom(j.Uncertainty.EffectiveDOF), budgetText(j))
	p.decision(j.Decision, j.RuleFrom)
	for _, text := range j.Remarks {
		if said.first(j.Check, text) {
			p.sub("remark: %s", text)
		}
	}
}

func ofSeveral(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(", the worst of %d", n)
}

func decimals(d conformity.Decision) int {
	if u := d.ExpandedUM.Value; u != nil {
		return max(1, show.Decimals(*u))
	}
	return 1
}

func temperatureText(j *rules.Judgement) string {
	if j.Check.Compensated {
		return "the readings are stated as already those at 20 °C"
	}
	return fmt.Sprintf("%s ± %s moves the reference by %s µm", j.Check.Conditions.ArtifactTemperature,
		strings.TrimPrefix(j.Check.Conditions.TemperatureUncertainty.String(), "±"), show.Signed(j.ShiftUM, 1))
}

func formula(j *rules.Judgement) string {
	switch {
	case j.Quantity.OneSided():
		return " (a form error is indicated as such)"
	case j.Check.Compensated:
		return " = y − r20"
	}
	return " = y − r20·(1 + (α − α_d)·(T − 20 °C)), ISO 1:2022"
}

func limitText(j *rules.Judgement) string {
	if !j.Limit.MPE.GrowsWithLength() {
		return j.Limit.MPE.String()
	}
	kind := "the straight distance"
	if j.LengthIsPath {
		kind = "the path travelled"
	}
	return fmt.Sprintf("%s with L = %s, %s: %s µm", j.Limit.MPE, j.Length, kind, show.Fixed(j.MPEUM, 1))
}

// certifiedLimit is the limit an error of a certificate was judged against.
func certifiedLimit(d *rules.Device, e *rules.Evidence) string {
	place := fmt.Sprintf(" (%s:%d)", d.Record.File, e.Limit.Line)
	if !e.Limit.MPE.GrowsWithLength() {
		return e.Limit.MPE.String() + place
	}
	length := e.Certified.Length
	if e.Limit.CountsPath() {
		length = e.Certified.Path
	}
	return fmt.Sprintf("%s with L = %s: %s µm%s", e.Limit.MPE, length, show.Fixed(e.Decision.MPEUM, 1), place)
}

func budgetText(j *rules.Judgement) string {
	var parts []string
	for _, c := range j.Components {
		parts = append(parts, fmt.Sprintf("%s %s", c.Name, show.Fixed(c.ContributionUM(), 2)))
	}
	return strings.Join(parts, ", ") + " µm (ISO 14253-5:2015, from memory)"
}

func freedom(nu float64) string {
	if nu > 1e6 {
		return "∞"
	}
	return show.Fixed(nu, 1)
}

// decision says what the rule concluded and from which figures.
func (p *page) decision(d conformity.Decision, from string) {
	chosen := ""
	if from != "" {
		chosen = ", chosen in " + from
	}
	p.sub("decision: %s by rule %s%s", strings.ReplaceAll(string(d.Verdict), "-", " "), d.Rule, chosen)
	p.sub("accepted to %s µm, rejected above %s µm, MPE/U %s, probability of conformance %s", figureText(d.AcceptanceLimitUM), figureText(d.RejectionLimitUM),
		ratioText(d.Ratio), probabilityText(d.ConformanceProbability))
}

func figureText(f conformity.Figure) string {
	if f.Value == nil {
		return "none (" + f.Reason + ")"
	}
	return show.Fixed(*f.Value, 1)
}

func ratioText(f conformity.Figure) string {
	if f.Value == nil {
		return "none"
	}
	return show.Ratio(*f.Value)
}

func probabilityText(f conformity.Figure) string {
	if f.Value == nil {
		return "none"
	}
	switch *f.Value { // nearer to the end than a float can tell
	case 1:
		return "> 0.9999999"
	case 0:
		return "< 0.0000001"
	}
	return show.Probability(*f.Value)
}

// evidenceTable is the evidence for programs: one row a verdict.
func evidenceTable(d *rules.Device, zone *time.Location) table.Table {
	t := table.Table{Columns: []table.Column{
		{Title: "device"},
		{Title: "from"},
		{Title: "quantity"},
		{Title: "feature"},
		{Title: "time"},
		{Title: "error", Unit: "um"},
		{Title: "mpe", Unit: "um"},
		{Title: "expanded", Unit: "um"},
		{Title: "verdict"},
		{Title: "rule"},
		{Title: "file"},
		{Title: "line"},
	}}
	for i := range d.Evidence {
		e := &d.Evidence[i]
		expanded := table.None()
		if u := e.Decision.ExpandedUM.Value; u != nil {
			expanded = table.Number(show.Fixed(*u, 2), *u)
		}
		t.Add(table.Text(d.ID), table.Text(e.From), table.Text(string(e.Quantity)), table.Text(e.Feature), table.Text(e.Time.In(zone).Format(time.RFC3339)),
			table.Number(show.Signed(e.Decision.ErrorUM, 1), e.Decision.ErrorUM), table.Number(show.Fixed(e.Decision.MPEUM, 1), e.Decision.MPEUM), expanded,
			table.Text(string(e.Decision.Verdict)), table.Text(string(e.Decision.Rule)), table.Text(e.Source.File), table.Count(e.Source.Line))
	}
	return t
}
