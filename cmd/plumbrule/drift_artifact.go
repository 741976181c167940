package main

import (
	"fmt"
	"strings"
	"time"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/rules"
)

// artifactDrift is how the certified values of one artifact went.
type artifactDrift struct {
	*judged
	o      *driftOptions
	id     string
	trends []rules.ValueTrend
}

// artifactDriftJSON is what drift prints as JSON for an artifact: an interface, to which fields are only added.
type artifactDriftJSON struct {
	Artifact  string           `json:"artifact"`
	At        string           `json:"at"`
	Hindsight bool             `json:"hindsight"`
	Level     float64          `json:"level"`
	Features  []valueTrendJSON `json:"features"`
}

// valueTrendJSON has a slope in µm a day over the values since the artifact was last adjusted or repaired.
type valueTrendJSON struct {
	Feature       string               `json:"feature"`
	Quantity      string               `json:"quantity"`
	Values        []certifiedValueJSON `json:"values"`
	Steps         []stepJSON           `json:"steps"`
	Breaks        []breakJSON          `json:"breaks"`
	SlopePerDayUM *float64             `json:"slope_um_per_day"`
	SlopeLowerUM  *float64             `json:"slope_lower_um_per_day"`
	SlopeUpperUM  *float64             `json:"slope_upper_um_per_day"`
	ResidualSDUM  *float64             `json:"residual_sd_um"`
	Reasons       absences             `json:"reasons"`
}

type certifiedValueJSON struct {
	Certificate string  `json:"certificate"`
	Date        string  `json:"date"`
	ValueMM     float64 `json:"value_mm"`
	StandardUM  float64 `json:"standard_um"`
	File        string  `json:"file"`
	Line        int     `json:"line"`
}

func (o *driftOptions) values(j *judged, id string) (*artifactDrift, error) {
	a := &artifactDrift{judged: j, o: o, id: id}
	all, err := rules.ValueTrendsOf(j.set, j.at, j.options, id, o.level.value)
	if err != nil {
		return nil, misused(err.Error(), "")
	}
	var names []string
	for _, t := range all {
		names = append(names, t.Feature.Name)
		if *o.feature == "" || t.Feature.Name == *o.feature {
			a.trends = append(a.trends, t)
		}
	}
	if *o.feature != "" && len(a.trends) == 0 {
		return nil, misused(fmt.Sprintf("%s has no feature %q", id, *o.feature), "its features are "+strings.Join(names, ", "))
	}
	return a, nil
}

func (a *artifactDrift) json() artifactDriftJSON {
	out := artifactDriftJSON{
		Artifact: a.id, At: a.at.In(zoneOf(a.set)).Format(time.RFC3339), Hindsight: a.options.Hindsight, Level: a.o.level.value, Features: []valueTrendJSON{},
	}
	for _, t := range a.trends {
		r := absences{}
		one := valueTrendJSON{
			Feature: t.Feature.Name, Quantity: string(t.Feature.Quantity), Values: []certifiedValueJSON{}, Steps: stepsJSON(t.Steps), Breaks: breaksJSON(t.Breaks), Reasons: r,
		}
		for _, v := range t.Values {
			one.Values = append(one.Values, certifiedValueJSON{v.Certificate.Number, v.Certificate.Date.String(), v.Figure.Millimetres(), v.StandardUM, v.Source.File, v.Source.Line})
		}
		if t.Line == nil {
			for _, name := range []string{"slope_um_per_day", "slope_lower_um_per_day", "slope_upper_um_per_day", "residual_sd_um"} {
				r[name] = t.NoLine
			}
		} else {
			one.SlopePerDayUM, one.ResidualSDUM = &t.Line.Slope, &t.Line.ResidualSD
			one.SlopeLowerUM, one.SlopeUpperUM = r.value("slope_lower_um_per_day", t.Slope.Lower), r.value("slope_upper_um_per_day", t.Slope.Upper)
		}
		out.Features = append(out.Features, one)
	}
	return out
}

func (a *artifactDrift) answer() answer {
	t := table.Table{Columns: []table.Column{
		{Title: "feature"},
		{Title: "from"},
		{Title: "to"},
		{Title: "value before", Unit: "mm", Align: table.Decimal, Optional: 1},
		{Title: "value after", Unit: "mm", Align: table.Decimal},
		{Title: "change", Unit: "µm", Align: table.Decimal},
		{Title: "U of the change", Unit: "µm", Align: table.Decimal},
		{Title: "ratio", Align: table.Decimal},
	}}
	beyond := 0
	for _, v := range a.trends {
		for _, s := range v.Steps {
			expanded, ratio := table.None(), table.None()
			if s.Ratio.Value != nil {
				expanded, ratio = table.Number(show.Fixed(*s.ExpandedUM.Value, 2), *s.ExpandedUM.Value), table.Number(show.Ratio(*s.Ratio.Value), *s.Ratio.Value)
				if *s.Ratio.Value > 1 {
					beyond++
				}
			}
			t.Add(table.Text(v.Feature.Name), table.Text(s.From.Certificate.Date.String()), table.Text(s.To.Certificate.Date.String()),
				millimetres(s.From), millimetres(s.To), table.Number(show.Signed(s.ChangeUM, 2), s.ChangeUM), expanded, ratio)
		}
	}
	out := answer{JSON: a.json(), CSV: t, Table: t, Page: a.page(), Above: []string{fmt.Sprintf("%s, %s: certified values from certificate to certificate",
		a.id, a.at.In(zoneOf(a.set)).Format("2006-01-02 15:04 MST"))}}
	switch steps := len(t.Rows); {
	case steps == 0:
		out.Table = table.Table{}
		out.Below = []string{"Nothing can be compared: it takes two accepted certificates of the same feature with nothing done to the artifact in between."}
	case beyond == 0:
		out.Below = []string{"No certified value moved by more than the uncertainties of its two certificates explain: the artifact may be taken to have held."}
	default:
		out.Below = []string{fmt.Sprintf("%d of %s: more than the uncertainties explain (ratio above 1). The artifact moved, or one of the certificates is wrong; "+
			"checks made in between may have rested on a value that no longer held.", beyond, counted(steps, "change"))}
	}
	return out
}

func millimetres(c rules.Certified) table.Cell {
	return table.Number(show.LengthMM(c.Figure.Millimetres()), c.Figure.Millimetres())
}

// page tells of the lines and of what interrupts them.
func (a *artifactDrift) page() *page {
	p := &page{}
	p.head("Lines through the certified values")
	for _, t := range a.trends {
		switch {
		case t.Line == nil:
			p.item("%s: none: %s", t.Feature.Name, t.NoLine)
		case t.Slope.Lower.Value == nil:
			p.item("%s: %s µm/a; %s", t.Feature.Name, show.Signed(t.Line.Slope*daysPerYear, 2), t.Slope.Lower.Reason)
		default:
			p.item("%s: %s µm/a (%s to %s) over %s", t.Feature.Name, show.Signed(t.Line.Slope*daysPerYear, 2),
				show.Signed(*t.Slope.Lower.Value*daysPerYear, 2), show.Signed(*t.Slope.Upper.Value*daysPerYear, 2), counted(t.Line.N, "certificate"))
		}
		for _, b := range t.Breaks {
			p.sub("%s, %s: begun anew: %s", b.To.Number, b.To.Date, b.Why)
		}
	}
	return p
}
