package propagation

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/budget"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/figure"
)

// otherParts is how large, beside the dominant ones, all other contributions together may be for the result to keep the
// shape of the dominant ones: EA-4/02 M:2022, S9.14, from memory.
const otherParts = 0.3

// expand finds coverage factor or probability.
func (b *Budget) expand(out *Result, parts []float64, r [][]float64) error {
	c := b.Coverage
	out.Law = c.Law
	if out.Law == "" {
		out.Law = ByStudent
	}
	out.UsedDOF = out.EffectiveDOF
	if nu := out.EffectiveDOF.Value; nu != nil {
		out.UsedDOF = figure.Known(budget.Truncate(*nu))
	}
	switch {
	case (c.Factor != 0) == (c.Probability != 0):
		return &InputError{Field: "coverage", Found: "both a probability and a factor, or neither", Expected: "one of them", Mend: "the other follows from it"}
	case c.Factor != 0 && out.Law != ByStudent:
		return &InputError{Field: "coverage", Found: "a factor with the law " + string(out.Law), Expected: "a probability", Mend: "leave out k, or the law"}
	case c.Factor != 0:
		return out.byFactor(c.Factor)
	case out.Law == ByStudent:
		return out.byStudent(c.Probability)
	}
	d := dominating(b, parts, r, out.CombinedU)
	if d.law != out.Law {
		return &InputError{
			Field: "result-law", Found: fmt.Sprintf("%q, but %s", out.Law, d.whyNot(out.Law)), Expected: "the law of the dominant contributions",
			Mend: `leave it out, or take the interval from Monte Carlo`,
		}
	}
	k, err := budget.TrapezoidalCoverageFactor(c.Probability, d.beta)
	if err != nil {
		return err
	}
	out.CoverageFactor, out.CoverageProbability = figure.Known(k), figure.Known(c.Probability)
	out.ExpandedU = figure.Known(k * out.CombinedU)
	return nil
}

func (out *Result) byFactor(k float64) error {
	if !(k >= 1e-6 && k <= 1e6) {
		return &InputError{Field: "coverage_factor", Found: number(k), Expected: "a coverage factor from 1e-6 to 1e6", Mend: "commonly 2"}
	}
	out.CoverageFactor, out.ExpandedU = figure.Known(k), figure.Known(k*out.CombinedU)
	out.CoverageProbability = figure.Absent(out.EffectiveDOF.Reason)
	if nu := out.UsedDOF.Value; nu != nil {
		out.CoverageProbability = figure.Known(budget.CoverageProbability(k, *nu))
	}
	return nil
}

func (out *Result) byStudent(p float64) error {
	nu := math.Inf(1)
	if out.UsedDOF.Value != nil {
		nu = *out.UsedDOF.Value
	}
	k, err := budget.CoverageFactor(p, nu) // refuses a probability out of range even where no factor is wanted
	if err != nil {
		return err
	}
	out.CoverageProbability = figure.Known(p)
	if out.UsedDOF.Value == nil {
		why := figure.Absent("there are no effective degrees of freedom to read k for; state k instead: " + out.EffectiveDOF.Reason)
		out.CoverageFactor, out.ExpandedU = why, why
		return nil
	}
	out.CoverageFactor, out.ExpandedU = figure.Known(k), figure.Known(k*out.CombinedU)
	return nil
}

// dominance says whether one or two rectangular contributions rule the result.
type dominance struct {
	law  ResultLaw // ByStudent: none do
	beta float64   // 1 for one
	two  [2]int    // the largest contributions
}

func (d dominance) whyNot(asked ResultLaw) string {
	switch {
	case asked == ByTrapezoidal && d.law == ByRectangle:
		return "one rectangular contribution dominates alone"
	case asked == ByTrapezoidal:
		return "the two largest contributions are not rectangular and independent, or the others together exceed 0.3 of them"
	}
	return "the largest contribution is not rectangular and independent, or the others together exceed 0.3 of it"
}

func dominating(b *Budget, parts []float64, r [][]float64, combined float64) dominance {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch x, y := math.Abs(parts[i]), math.Abs(parts[j]); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	rectangular := func(i int) bool {
		for j := range r {
			if j != i && r[i][j] != 0 {
				return false
			}
		}
		return b.Inputs[i].Law.Kind == law.Rectangular && parts[i] != 0
	}
	// others tells whether what is left of the variance is small beside the dominant parts.
	others := func(dominant float64) bool {
		left := float64(combined*combined) - float64(dominant*dominant)
		return left <= otherParts*otherParts*dominant*dominant
	}
	d := dominance{law: ByStudent}
	first := math.Abs(parts[order[0]])
	if !rectangular(order[0]) {
		return d
	}
	d.two[0] = order[0]
	if others(first) {
		d.law, d.beta = ByRectangle, 1
		return d
	}
	if len(order) < 2 || !rectangular(order[1]) {
		return d
	}
	second := math.Abs(parts[order[1]])
	if others(math.Hypot(first, second)) {
		d.law, d.two[1] = ByTrapezoidal, order[1]
		d.beta = (first - second) / (first + second)
	}
	return d
}
