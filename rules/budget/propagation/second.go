package propagation

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/figure"
)

// Second is what the terms of second order come to: GUM 5.1.2, note,
//
//	Σᵢ Σⱼ [½(∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ·∂³f/∂xᵢ∂xⱼ²]·u²(xᵢ)·u²(xⱼ).
//
// The terms of two different inputs hold for any independent ones that are symmetric; those of one input suppose that it is
// normal. Correlated inputs are not covered: where one takes part, U is absent.
type Second struct {
	U     figure.Figure // combined uncertainty with the terms
	Terms []Term        // those that are not 0, the largest first
	// Shift is ½·Σ(∂²f/∂xᵢ²)u²(xᵢ): by how much the mean of the result's distribution lies above the value, to second order;
	// GUM 4.1.4, note.
	Shift figure.Figure
}

// Term is the second-order term of a pair of inputs, or of one input with itself (A = B). Inputs are counted from 0.
type Term struct {
	A, B         int
	Contribution float64 // root of the size of its part of the variance
	Share        float64 // its part of u_c², or what it would add to it where u_c is of first order; negative where it lowers it
	sign         float64
}

func (b *Budget) second(x, gradient []float64, r [][]float64, first float64) Second {
	out := Second{}
	at := b.Model.At(x)
	variance, shift := float64(first*first), 0.0
	own := make([]expression.Higher, len(x))
	for i := range x {
		if b.Inputs[i].U > 0 && b.Model.Uses(i) {
			own[i] = at.Pair(i, i)
		}
	}
	for i := range x {
		for j := range i + 1 {
			ui, uj := b.Inputs[i].U, b.Inputs[j].U
			if ui == 0 || uj == 0 || !b.Model.Uses(i) || !b.Model.Uses(j) {
				continue
			}
			var term float64
			if i == j {
				half := own[i].Second * ui * ui
				shift += half / 2
				term = float64(half*half)/2 + float64(gradient[i]*ui*own[i].Third*ui*ui*ui)
			} else {
				ij, ji := at.Pair(i, j), at.Pair(j, i)
				mixed := ij.Second * ui * uj
				term = float64(mixed*mixed) + float64(gradient[i]*ui*ij.Third*ui*uj*uj) + float64(gradient[j]*uj*ji.Third*uj*ui*ui)
			}
			if term == 0 {
				continue
			}
			if why := b.noSecond(i, j, term, r); why != "" {
				return Second{U: figure.Absent(why), Shift: figure.Absent(why)}
			}
			out.Terms = append(out.Terms, Term{A: j, B: i, Contribution: math.Sqrt(math.Abs(term)), sign: term})
			variance += term
		}
	}
	slices.SortStableFunc(out.Terms, func(a, b Term) int { return cmp.Compare(b.Contribution, a.Contribution) })
	out.Shift = figure.Known(shift)
	if variance < 0 {
		out.U = figure.Absent("the second-order terms are larger than the first and negative, so that those of higher order count as well")
		return out
	}
	out.U = figure.Known(math.Sqrt(variance))
	return out
}

// noSecond says why a term cannot be used.
func (b *Budget) noSecond(i, j int, term float64, r [][]float64) string {
	if math.IsNaN(term) || math.IsInf(term, 0) {
		if i == j {
			return "the model has no higher derivative by " + b.Inputs[i].Name + " at its value"
		}
		return fmt.Sprintf("the model has no higher derivatives by %s at their values", b.pair(j, i))
	}
	for _, k := range []int{i, j} {
		for m := range r {
			if m != k && r[k][m] != 0 {
				return fmt.Sprintf("%s and %s are correlated, and the formula for the second order holds for independent inputs (GUM 5.1.2, note)", b.Inputs[min(k, m)].Name, b.Inputs[max(k, m)].Name)
			}
		}
	}
	return ""
}
