package montecarlo

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
	"plumbrule/rules/budget/random"
	"plumbrule/rules/figure"
)

// InputError says which input cannot be used, why, and what would mend it.
type InputError = figure.InputError

// Problem is a budget made ready for trials. It is not changed by a run.
type Problem struct {
	model  *expression.Model
	inputs []propagation.Input
	fixed  []float64 // value of an input that is the same in all trials; NaN: it varies
	groups [][]int   // of inputs correlated with each other, in ascending order
	inside []bool    // the input belongs to a group
	factor [][]float64
	centre float64 // result at the inputs' values, near which the trials lie
}

// NotNormalError says that two inputs are correlated of which one is not normal: their coefficient does not determine how
// they are distributed together, so that nothing can be drawn.
type NotNormalError struct {
	Name, Other string
	Law         law.Law // of Name
}

// Error tells it on one line.
func (e *NotNormalError) Error() string {
	return fmt.Sprintf("%s and %s are correlated and %s is not normal (%s); a coefficient alone does not tell how they are distributed together (JCGM 101, 6.4.8)",
		e.Name, e.Other, e.Name, e.Law)
}

// Prepare makes a budget ready. Correlated inputs are drawn from a joint normal distribution (JCGM 101:2008 6.4.8); where one
// of them is not normal, the error is a [*NotNormalError]. Other errors are those of propagation's Matrix and of the model at
// the inputs' values.
func Prepare(b *propagation.Budget) (*Problem, error) {
	r, factor, err := b.Matrix()
	if err != nil {
		return nil, err
	}
	p := &Problem{model: b.Model, inputs: b.Inputs, factor: factor, fixed: make([]float64, len(b.Inputs)), inside: make([]bool, len(b.Inputs))}
	x := make([]float64, len(b.Inputs))
	for i := range b.Inputs {
		in := &b.Inputs[i]
		x[i], p.fixed[i] = in.Value, math.NaN()
		if in.Law.Kind == law.Exact || in.U == 0 || !b.Model.Uses(i) {
			p.fixed[i] = in.Value
		}
	}
	if p.centre, err = b.Model.Value(x); err != nil {
		return nil, err
	}
	for i := range b.Inputs {
		if p.inside[i] || !p.varies(i) {
			continue
		}
		group := p.correlatedWith(i, r)
		if len(group) == 1 {
			continue
		}
		for _, k := range group {
			if l := b.Inputs[k].Law; l.Kind != law.Normal {
				other := group[0]
				if other == k {
					other = group[1]
				}
				return nil, &NotNormalError{Name: b.Inputs[k].Name, Other: b.Inputs[other].Name, Law: l}
			}
			p.inside[k] = true
		}
		p.groups = append(p.groups, group)
	}
	return p, nil
}

func (p *Problem) varies(i int) bool { return math.IsNaN(p.fixed[i]) }

// correlatedWith returns the inputs correlated with input i, directly or through others, i first and all ascending.
func (p *Problem) correlatedWith(i int, r [][]float64) []int {
	member := map[int]bool{i: true}
	for grown := true; grown; {
		grown = false
		for j := range r {
			if member[j] || !p.varies(j) {
				continue
			}
			for k := range r {
				if member[k] && r[j][k] != 0 {
					member[j], grown = true, true
					break
				}
			}
		}
	}
	var out []int
	for j := range r {
		if member[j] {
			out = append(out, j)
		}
	}
	return out
}

// draw fills the vectors of the inputs that vary for one block of trials: the single ones in their order, then the groups.
func (p *Problem) draw(s *random.Sampler, vector func(input int) []float64) {
	for i := range p.inputs {
		if p.varies(i) && !p.inside[i] {
			p.inputs[i].Law.Draw(s, vector(i))
		}
	}
	for _, group := range p.groups {
		p.drawTogether(s, group, vector)
	}
}

// drawTogether multiplies independent normal numbers with the Cholesky factor, from the last row upward, since a row needs
// only numbers up to its own.
func (p *Problem) drawTogether(s *random.Sampler, group []int, vector func(int) []float64) {
	for _, i := range group {
		s.Normal(vector(i))
	}
	for g, i := range slices.Backward(group) {
		into, row, in := vector(i), p.factor[i], &p.inputs[i]
		for t := range into {
			sum := 0.0
			for _, k := range group[:g+1] {
				sum += float64(row[k] * vector(k)[t])
			}
			into[t] = in.Value + float64(in.U*sum)
		}
	}
}

// lacks says which input leaves the result without a mean, or without a standard deviation.
func (p *Problem) lacks() (noMean, noDeviation string) {
	for i := range p.inputs {
		if !p.varies(i) || !math.IsInf(p.inputs[i].Law.Standard(), 1) {
			continue
		}
		name := fmt.Sprintf("%s is distributed as %s", p.inputs[i].Name, p.inputs[i].Law)
		if noDeviation == "" {
			noDeviation = name + ", which has no standard deviation"
		}
		if noMean == "" && !p.inputs[i].Law.HasMean() {
			noMean = name + ", which has no mean"
		}
	}
	return noMean, noDeviation
}
