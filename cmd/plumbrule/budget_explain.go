package main

import (
	"fmt"
	"math"
	"strings"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
)

// page shows formulas with their figures and sources.
func (b *budgeted) page() *page {
	p := &page{}
	p.head("The model")
	p.item("%s = %s", b.sheet.Measurand, b.sheet.Expression)
	for i, d := range b.result.Definitions {
		p.sub("%s = %s = %s, u = %s", d.Name, b.sheet.Where[i].Expression, sigDigits(d.Value, 6), sigDigits(d.U, 3))
	}
	if b.sheet.Note != "" {
		p.item("%s", b.sheet.Note)
	}
	p.head("The inputs")
	for i, c := range b.result.Components {
		b.explainInput(p, i, c)
	}
	b.explainCorrelations(p)
	p.head("The combined uncertainty")
	b.explainCombined(p)
	b.explainCoverage(p)
	if b.trials != nil {
		p.head("Monte Carlo (JCGM 101:2008)")
		b.explainTrials(p)
	}
	return p
}

func (b *budgeted) explainInput(p *page, i int, c propagation.Component) {
	in := &b.sheet.Budget.Inputs[i]
	unit := " " + in.Unit
	if in.Unit == "1" {
		unit = ""
	}
	text := fmt.Sprintf("%s = %s%s", in.Name, inputValue(in.Value, c.U), unit)
	if in.Law.Kind == law.Exact {
		text += ", taken as certain"
	} else {
		text += fmt.Sprintf(", u = %s%s: %s", sigDigits(c.U, 4), unit, in.Rule)
		if !math.IsInf(in.DegreesOfFreedom, 1) {
			text += fmt.Sprintf(", ν = %s", sigDigits(in.DegreesOfFreedom, 4))
		}
	}
	if in.Source != "" {
		text += "; " + in.Source
	}
	p.item("%s", text)
	if in.Law.Kind != law.Exact {
		p.sub("∂%s/∂%s = %s, contribution %s%s; drawn as %s", b.sheet.Measurand, in.Name, sigDigits(c.Sensitivity, 6), sigDigits(c.Contribution, 4), b.unit(), in.Law)
	}
}

func (b *budgeted) explainCorrelations(p *page) {
	r, _, err := b.sheet.Budget.Matrix()
	if err != nil {
		return
	}
	var lines []string
	for i := range r {
		for j := range i {
			if r[i][j] == 0 {
				continue
			}
			lines = append(lines, fmt.Sprintf("r(%s, %s) = %s%s", b.sheet.Budget.Inputs[j].Name, b.sheet.Budget.Inputs[i].Name, sigDigits(r[i][j], 5), b.correlationSource(i, j)))
		}
	}
	if len(lines) == 0 {
		return
	}
	p.head("The correlations")
	for _, line := range lines {
		p.item("%s", line)
	}
	for _, s := range b.result.Sets {
		if s.Mean.Value == nil {
			continue
		}
		p.item("%d sets of readings %q evaluated one by one: mean %s, s/√n = %s%s (GUM H.2, second approach)", s.Readings, s.Name, b.fine(*s.Mean.Value), sigDigits(*s.U.Value, 4), b.unit())
	}
}

// correlationSource is what a stated coefficient rests on, behind a semicolon.
func (b *budgeted) correlationSource(i, j int) string {
	for k, c := range b.sheet.Budget.Correlations {
		if max(c.A, c.B) == max(i, j) && min(c.A, c.B) == min(i, j) && b.sheet.Sources[k] != "" {
			return "; " + b.sheet.Sources[k]
		}
	}
	return ""
}

func (b *budgeted) explainCombined(p *page) {
	r := &b.result
	p.item("first order: u_c = √(Σᵢ Σⱼ cᵢ·cⱼ·u(xᵢ)·u(xⱼ)·r(xᵢ, xⱼ)) = %s%s (GUM 5.2.2, formula 16)", sigDigits(r.FirstU, 5), b.unit())
	switch {
	case r.Second.U.Value == nil:
		p.item("second order: none, %s", r.Second.U.Reason)
	case len(r.Second.Terms) == 0:
		p.item("second order: the model is linear over the inputs, no term is left")
	default:
		p.item("second order: u_c = %s%s (GUM 5.1.2, note), the terms:", sigDigits(*r.Second.U.Value, 5), b.unit())
		for _, t := range r.Second.Terms {
			p.sub("%s: %s%s", b.pair(t), sigDigits(t.Contribution, 4), b.unit())
		}
		if shift := *r.Second.Shift.Value; shift != 0 {
			p.sub("the mean of the distribution lies by %s%s beside the value (GUM 4.1.4, note)", sigDigits(shift, 3), b.unit())
		}
	}
}

func (b *budgeted) explainCoverage(p *page) {
	r := &b.result
	switch nu := r.EffectiveDOF.Value; {
	case nu == nil:
		p.item("ν_eff: none, %s", r.EffectiveDOF.Reason)
	case math.IsInf(*nu, 1):
		p.item("ν_eff is infinite: every contribution is taken as certain in its uncertainty")
	default:
		p.item("ν_eff = u_c⁴/Σ(uᵢ(y)⁴/νᵢ) = %s, truncated to %s (Welch and Satterthwaite, GUM G.4.1)", show.Fixed(*nu, 2), show.Fixed(*r.UsedDOF.Value, 0))
	}
	if r.CoverageFactor.Value == nil {
		p.item("k: none, %s", r.CoverageFactor.Reason)
		return
	}
	k := show.Fixed(*r.CoverageFactor.Value, 4)
	switch {
	case b.sheet.Budget.Coverage.Factor != 0:
		p.item("k = %s as asked for", k)
	case r.Law != propagation.ByStudent:
		p.item("k = %s of a %s distribution for %s (EA-4/02, S9 and S10)", k, r.Law, showPercent(*r.CoverageProbability.Value))
	default:
		p.item("k = t(%s, ν) = %s (GUM G.3.2, table G.2)", showPercent(*r.CoverageProbability.Value), k)
	}
	p.item("U = k·u_c = %s%s, printed with %d significant %s; rounded up where rounding down would cut more than 5 %% (EA-4/02, 6.3)",
		sigDigits(*r.ExpandedU.Value, 5), b.unit(), b.digits, strings.TrimPrefix(counted(b.digits, "digit"), fmt.Sprint(b.digits)+" "))
}

func (b *budgeted) explainTrials(p *page) {
	t := b.trials
	p.item("%d trials in streams of 10 000 from xoshiro256++ with seed %d; the number of processors does not matter", t.Trials, b.seed)
	p.item("mean and standard deviation of the values (7.6); intervals from their order (7.7), probabilistically symmetric and shortest")
	p.item("standard uncertainties from the finite number of trials: mean %s, ends %s and %s%s", sigDigits(t.MeanU, 2), sigDigits(t.LowU, 2), sigDigits(t.HighU, 2), b.unit())
	if v := b.validation; v != nil {
		p.item("δ = %s%s: half a unit in the last of %s of u_c (7.9.2)", sigDigits(v.Tolerance, 2), b.unit(), counted(v.Digits, "digit"))
		p.item("d_low = |y - U - y_low| = %s, d_high = |y + U - y_high| = %s%s: %s (8.1)", sigDigits(v.LowDiff, 3), sigDigits(v.HighDiff, 3), b.unit(), v.Verdict)
	}
}
