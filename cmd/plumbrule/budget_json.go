package main

import (
	"fmt"
	"math"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/figure"
)

// budgetJSON is what budget prints as JSON: an interface, to which fields are only added. Figures are in the units that the
// file states. One that does not exist is null, and reasons says why under its name; nu_eff and nu are null where they are
// infinite, too.
type budgetJSON struct {
	Title      string `json:"title"`
	Measurand  string `json:"measurand"`
	Expression string `json:"expression"`
	Unit       string `json:"unit"`

	Value     float64  `json:"value"`
	CombinedU float64  `json:"u_c"`
	NuEff     *float64 `json:"nu_eff"`
	NuUsed    *float64 `json:"nu_used"`
	K         *float64 `json:"k"`
	Coverage  *float64 `json:"coverage"`
	U         *float64 `json:"U"`
	Order     int      `json:"order"`
	ResultLaw string   `json:"result_law"`

	Components  []budgetComponentJSON  `json:"components"`
	Definitions []budgetDefinitionJSON `json:"definitions"`
	Sets        []budgetSetJSON        `json:"sets"`
	SecondOrder budgetSecondJSON       `json:"second_order"`
	MonteCarlo  *budgetTrialsJSON      `json:"monte_carlo"`
	Validation  *budgetVerdictJSON     `json:"validation"`

	Reasons absences   `json:"reasons"`
	Notes   []noteJSON `json:"notes"`
}

type budgetComponentJSON struct {
	Name         string   `json:"name"`
	Unit         string   `json:"unit"`
	Value        float64  `json:"value"`
	U            float64  `json:"u"`
	Nu           *float64 `json:"nu"`
	Law          string   `json:"law"`
	Rule         string   `json:"rule"`
	Source       string   `json:"source"`
	Sensitivity  float64  `json:"sensitivity"`
	Contribution float64  `json:"contribution"`
	Share        float64  `json:"share"`
}

type budgetDefinitionJSON struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	U     float64 `json:"u"`
}

type budgetSetJSON struct {
	Name     string   `json:"name"`
	Readings int      `json:"readings"`
	Mean     *float64 `json:"mean"`
	U        *float64 `json:"u"`
}

type budgetSecondJSON struct {
	CombinedU *float64         `json:"u_c"`
	Shift     *float64         `json:"shift"`
	Terms     []budgetTermJSON `json:"terms"`
}

type budgetTermJSON struct {
	Inputs       []string `json:"inputs"`
	Contribution float64  `json:"contribution"`
	Share        float64  `json:"share"`
}

type budgetTrialsJSON struct {
	Mean         *float64 `json:"mean"`
	U            *float64 `json:"u"`
	Low          float64  `json:"low"`
	High         float64  `json:"high"`
	ShortestLow  float64  `json:"shortest_low"`
	ShortestHigh float64  `json:"shortest_high"`
	Coverage     float64  `json:"coverage"`
	Trials       int      `json:"trials"`
	Seed         int      `json:"seed"`
	MeanU        float64  `json:"mean_numerical_u"`
	LowU         float64  `json:"low_numerical_u"`
	HighU        float64  `json:"high_numerical_u"`
	Adaptive     bool     `json:"adaptive"`
	Tolerance    *float64 `json:"tolerance"`
	Stable       *bool    `json:"stable"`
}

type budgetVerdictJSON struct {
	Verdict        string  `json:"verdict"`
	LowDifference  float64 `json:"low_difference"`
	HighDifference float64 `json:"high_difference"`
	Tolerance      float64 `json:"tolerance"`
	Digits         int     `json:"digits"`
}

// finite returns a figure for JSON, which has no infinity.
func (a absences) finite(name string, f figure.Figure) *float64 {
	if f.Value != nil && math.IsInf(*f.Value, 0) {
		a[name] = "infinite: what contributes is taken as certain in its uncertainty"
		return nil
	}
	return a.value(name, f)
}

func (b *budgeted) json() budgetJSON {
	r, reasons := &b.result, absences{}
	out := budgetJSON{
		Title: b.sheet.Title, Measurand: b.sheet.Measurand, Expression: b.sheet.Expression, Unit: b.sheet.Unit,
		Value: r.Value, CombinedU: r.CombinedU,
		NuEff: reasons.finite("nu_eff", r.EffectiveDOF), NuUsed: reasons.finite("nu_used", r.UsedDOF), K: reasons.value("k", r.CoverageFactor),
		Coverage: reasons.value("coverage", r.CoverageProbability), U: reasons.value("U", r.ExpandedU), Order: r.Order, ResultLaw: string(r.Law),
		Components: []budgetComponentJSON{}, Definitions: []budgetDefinitionJSON{}, Sets: []budgetSetJSON{},
		SecondOrder: budgetSecondJSON{
			CombinedU: reasons.value("second_order.u_c", r.Second.U), Shift: reasons.value("second_order.shift", r.Second.Shift), Terms: []budgetTermJSON{},
		},
		MonteCarlo: b.trialsJSON(reasons), Reasons: reasons, Notes: []noteJSON{},
	}
	for i, c := range r.Components {
		in := &b.sheet.Budget.Inputs[i]
		part := budgetComponentJSON{
			Name: in.Name, Unit: in.Unit, Value: in.Value, U: c.U, Law: lawName(in.Law), Rule: in.Rule, Source: in.Source,
			Sensitivity: c.Sensitivity, Contribution: c.Contribution, Share: c.Share,
		}
		if nu := in.DegreesOfFreedom; !math.IsInf(nu, 1) {
			part.Nu = &nu
		}
		out.Components = append(out.Components, part)
	}
	for _, d := range r.Definitions {
		out.Definitions = append(out.Definitions, budgetDefinitionJSON(d))
	}
	for i, s := range r.Sets {
		out.Sets = append(out.Sets, budgetSetJSON{s.Name, s.Readings, reasons.value(fmt.Sprintf("sets[%d].mean", i), s.Mean), reasons.value(fmt.Sprintf("sets[%d].u", i), s.U)})
	}
	for _, t := range r.Second.Terms {
		out.SecondOrder.Terms = append(out.SecondOrder.Terms, budgetTermJSON{
			Inputs: []string{b.sheet.Budget.Inputs[t.A].Name, b.sheet.Budget.Inputs[t.B].Name}, Contribution: t.Contribution, Share: t.Share,
		})
	}
	if v := b.validation; v != nil {
		out.Validation = &budgetVerdictJSON{string(v.Verdict), v.LowDiff, v.HighDiff, v.Tolerance, v.Digits}
	} else {
		reasons["validation"] = b.whyNoVerdict
	}
	for _, n := range b.notes() {
		out.Notes = append(out.Notes, noteJSON{Code: n.Code, Sentence: n.Text})
	}
	return out
}

func (b *budgeted) trialsJSON(reasons absences) *budgetTrialsJSON {
	t := b.trials
	if t == nil {
		reasons["monte_carlo"] = b.whyNone
		return nil
	}
	out := &budgetTrialsJSON{
		Mean: reasons.value("monte_carlo.mean", t.Mean), U: reasons.value("monte_carlo.u", t.U), Low: t.Symmetric.Low, High: t.Symmetric.High,
		ShortestLow: t.Shortest.Low, ShortestHigh: t.Shortest.High, Coverage: t.Probability, Trials: t.Trials, Seed: b.seed,
		MeanU: t.MeanU, LowU: t.LowU, HighU: t.HighU, Adaptive: b.adaptive,
	}
	if b.adaptive {
		out.Tolerance, out.Stable = &t.Tolerance, &t.Stable
	}
	return out
}

// lawName is how a distribution is called where its parameters stand beside it.
func lawName(l law.Law) string { return string(l.Kind) }
