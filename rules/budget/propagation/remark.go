package propagation

import (
	"fmt"
	"math"

	"plumbrule/rules/budget"
)

// negligible is how much of an uncertainty may be left out unsaid: as much as rounding may take away, EA-4/02 M:2022 6.3.
const negligible = 0.05

// remark notes what the figures alone do not show.
func (b *Budget) remark(out *Result) {
	add := func(code, format string, args ...any) {
		out.Notes = append(out.Notes, Note{Code: code, Text: fmt.Sprintf(format, args...)})
	}
	if u := out.Second.U.Value; u != nil && out.Order == 1 {
		switch {
		case *u > out.FirstU*(1+negligible):
			add(NoteSecondOrder, "Terms of second order would raise u_c from %s to %s (GUM 5.1.2, note): the model is not linear over the inputs' uncertainties. Order 2 takes them in.", number(out.FirstU), number(*u))
		case *u < out.FirstU*(1-negligible):
			add(NoteSecondLower, "Terms of second order would lower u_c from %s to %s (GUM 5.1.2, note): the model is not linear over the inputs' uncertainties.", number(out.FirstU), number(*u))
		}
	}
	for i, c := range out.Components {
		if c.Contribution == 0 && c.U > 0 && !out.inTerms(i) && b.Model.Uses(i) {
			add(NoteIdle, "%s does not move the result at these values, neither to first nor to second order.", b.Inputs[i].Name)
		}
	}
	if nu := out.UsedDOF.Value; nu != nil && *nu < 3 && b.Coverage.Factor == 0 && out.Law == ByStudent {
		add(NoteLowFreedom, "With %.0f effective degrees of freedom the coverage factor is large because u_c itself is hardly known.", *nu)
	}
	b.remarkShape(out, add)
}

func (out *Result) inTerms(input int) bool {
	for _, t := range out.Second.Terms {
		if t.A == input || t.B == input {
			return true
		}
	}
	return false
}

// remarkShape tells where a t factor is too large because rectangular contributions rule the result.
func (b *Budget) remarkShape(out *Result, add func(code, format string, args ...any)) {
	if out.Law != ByStudent || out.CoverageFactor.Value == nil || b.Coverage.Factor != 0 || out.CombinedU == 0 {
		return
	}
	r, _, err := b.Matrix()
	if err != nil {
		return
	}
	parts := make([]float64, len(out.Components))
	for i, c := range out.Components {
		parts[i] = c.Contribution
	}
	d := dominating(b, parts, r, out.CombinedU)
	if d.law == ByStudent {
		return
	}
	k, err := budget.TrapezoidalCoverageFactor(b.Coverage.Probability, d.beta)
	if err != nil || math.Abs(k/(*out.CoverageFactor.Value)-1) < 0.02 {
		return
	}
	who := b.Inputs[d.two[0]].Name + " is rectangular and rules the result"
	if d.law == ByTrapezoidal {
		who = fmt.Sprintf("%s and %s are rectangular and rule the result", b.Inputs[d.two[0]].Name, b.Inputs[d.two[1]].Name)
	}
	add(NoteDominant, "%s, whose distribution is then nearly %s: k = %.2f would do for this probability (EA-4/02, S9 and S10; result-law = %q).", who, d.law, k, d.law)
}
