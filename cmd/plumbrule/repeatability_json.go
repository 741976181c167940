package main

import (
	"maps"

	"plumbrule/rules/repeatability"
)

// repeatabilityJSON is what repeatability prints as JSON. A figure that does not exist is null, and reasons says why under
// its name. Table, components, categories and notes are those of the model chosen.
type repeatabilityJSON struct {
	Parts       int                    `json:"parts"`
	Operators   int                    `json:"operators"`
	Trials      int                    `json:"trials"`
	Mean        float64                `json:"mean"`
	Confidence  float64                `json:"confidence"`
	PoolAbove   float64                `json:"pool_above"`
	StudySigmas float64                `json:"study_sigmas"`
	Tolerance   *float64               `json:"tolerance"`
	Model       string                 `json:"model"`
	Table       []varianceRowJSON      `json:"table"`
	Components  varianceComponentsJSON `json:"components"`
	Categories  *float64               `json:"categories"`
	Reasons     map[string]string      `json:"reasons"`
	Notes       []string               `json:"notes"`
	Models      []varianceModelJSON    `json:"models"`
}

type varianceModelJSON struct {
	Name       string                 `json:"name"`
	Table      []varianceRowJSON      `json:"table"`
	Components varianceComponentsJSON `json:"components"`
	Categories *float64               `json:"categories"`
	Reasons    map[string]string      `json:"reasons"`
	Notes      []string               `json:"notes"`
}

type varianceRowJSON struct {
	Source  string            `json:"source"`
	SS      float64           `json:"ss"`
	DF      int               `json:"df"`
	MS      *float64          `json:"ms"`
	F       *float64          `json:"f"`
	P       *float64          `json:"p"`
	Reasons map[string]string `json:"reasons"`
}

type varianceComponentsJSON struct {
	Part            varianceComponentJSON `json:"part"`
	Operator        varianceComponentJSON `json:"operator"`
	Interaction     varianceComponentJSON `json:"interaction"`
	Repeatability   varianceComponentJSON `json:"repeatability"`
	Reproducibility varianceComponentJSON `json:"reproducibility"`
	Gauge           varianceComponentJSON `json:"gauge"`
	Total           varianceComponentJSON `json:"total"`
}

type varianceComponentJSON struct {
	Estimate         *float64          `json:"estimate"`
	Variance         *float64          `json:"variance"`
	SD               *float64          `json:"sd"`
	Lower            *float64          `json:"lower"`
	Upper            *float64          `json:"upper"`
	ShareOfVariance  *float64          `json:"share_of_variance"`
	ShareOfStudy     *float64          `json:"share_of_study"`
	ShareOfTolerance *float64          `json:"share_of_tolerance"`
	Reasons          map[string]string `json:"reasons"`
}

func (s studied) json() repeatabilityJSON {
	chosen := modelJSON(s.Chosen)
	out := repeatabilityJSON{
		Parts: s.Parts, Operators: s.Operators, Trials: s.Trials, Mean: s.Mean,
		Confidence: s.Settings.Confidence, PoolAbove: s.Settings.PoolAbove, StudySigmas: s.Settings.StudySigmas,
		Model: chosen.Name, Table: chosen.Table, Components: chosen.Components, Categories: chosen.Categories, Reasons: map[string]string{},
		Notes: s.notes(), Models: []varianceModelJSON{},
	}
	maps.Copy(out.Reasons, chosen.Reasons)
	if s.Settings.Tolerance > 0 {
		out.Tolerance = &s.Settings.Tolerance
	} else {
		out.Reasons["tolerance"] = "no tolerance given"
	}
	for _, m := range s.Models {
		out.Models = append(out.Models, modelJSON(m))
	}
	return out
}

// notes are those of the study and of the model chosen.
func (s studied) notes() []string {
	return append(append([]string{}, s.Notes...), s.Chosen.Notes...)
}

func modelJSON(m *repeatability.Model) varianceModelJSON {
	out := varianceModelJSON{
		Name: string(m.Name), Table: []varianceRowJSON{}, Categories: m.Categories.Value, Reasons: map[string]string{}, Notes: notNull(m.Notes),
		Components: varianceComponentsJSON{
			Part:            varianceComponentJSONOf(m, repeatability.Part),
			Operator:        varianceComponentJSONOf(m, repeatability.Operator),
			Interaction:     varianceComponentJSONOf(m, repeatability.Interaction),
			Repeatability:   varianceComponentJSONOf(m, repeatability.Repeatability),
			Reproducibility: varianceComponentJSONOf(m, repeatability.Reproducibility),
			Gauge:           varianceComponentJSONOf(m, repeatability.Gauge),
			Total:           varianceComponentJSONOf(m, repeatability.Total),
		},
	}
	if m.Categories.Value == nil {
		out.Reasons["categories"] = m.Categories.Reason
	}
	for _, r := range m.Table {
		row := varianceRowJSON{Source: sourceName(r.Source), SS: r.SumOfSquares, DF: r.DegreesOfFreedom, Reasons: map[string]string{}}
		for name, figure := range map[string]struct {
			into *(*float64)
			from repeatability.Figure
		}{"ms": {&row.MS, r.MeanSquare}, "f": {&row.F, r.F}, "p": {&row.P, r.P}} {
			*figure.into = figure.from.Value
			if figure.from.Value == nil {
				row.Reasons[name] = figure.from.Reason
			}
		}
		out.Table = append(out.Table, row)
	}
	return out
}

func varianceComponentJSONOf(m *repeatability.Model, source repeatability.Source) varianceComponentJSON {
	c := m.Component(source)
	out := varianceComponentJSON{Reasons: map[string]string{}}
	for name, figure := range map[string]struct {
		into *(*float64)
		from repeatability.Figure
	}{
		"estimate":           {&out.Estimate, c.Estimate},
		"variance":           {&out.Variance, c.Variance},
		"sd":                 {&out.SD, c.SD},
		"lower":              {&out.Lower, c.SDLower},
		"upper":              {&out.Upper, c.SDUpper},
		"share_of_variance":  {&out.ShareOfVariance, c.ShareOfVariance},
		"share_of_study":     {&out.ShareOfStudy, c.ShareOfStudy},
		"share_of_tolerance": {&out.ShareOfTolerance, c.ShareOfTolerance},
	} {
		*figure.into = figure.from.Value
		if figure.from.Value == nil {
			out.Reasons[name] = figure.from.Reason
		}
	}
	return out
}

// sourceName is the name of a source of variation in JSON and CSV.
func sourceName(s repeatability.Source) string {
	if s == repeatability.Interaction {
		return "interaction"
	}
	return string(s)
}
