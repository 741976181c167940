package montecarlo_test

import (
	"math"
	"testing"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
)

// input is one with infinite degrees of freedom, u being the distribution's standard deviation.
func input(name string, l law.Law) propagation.Input {
	return propagation.Input{Name: name, Value: l.Centre, U: l.Standard(), DegreesOfFreedom: math.Inf(1), Law: l}
}

func budgetOf(t testing.TB, text string, inputs ...propagation.Input) *propagation.Budget {
	t.Helper()
	e, err := expression.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, in := range inputs {
		names = append(names, in.Name)
	}
	m, err := expression.Compile(names, e)
	if err != nil {
		t.Fatal(err)
	}
	return &propagation.Budget{Model: m, Inputs: inputs, Coverage: propagation.Coverage{Probability: 0.95}, Order: 1}
}

func prepared(t testing.TB, b *propagation.Budget) *montecarlo.Problem {
	t.Helper()
	p, err := montecarlo.Prepare(b)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func ran(t testing.TB, b *propagation.Budget, trials int) montecarlo.Result {
	t.Helper()
	r, err := prepared(t, b).Run(montecarlo.Options{Trials: trials, Seed: 1, Probability: 0.95, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fiveTerms is a gauge block by comparison with a distribution of each sort: testdata/trials.py has the same.
func fiveTerms(t testing.TB) *propagation.Budget {
	t.Helper()
	return budgetOf(t, "l + d - l*α*(θ + Δ)",
		input("l", law.Law{Kind: law.Normal, Centre: 50, Width: 25e-6}),
		input("d", law.Law{Kind: law.Student, Centre: 215e-6, Width: 6e-6, Shape: 24}),
		input("α", law.Law{Kind: law.Rectangular, Centre: 11.5e-6, Width: 2e-6}),
		input("θ", law.Law{Kind: law.Triangular, Centre: -0.1, Width: 0.5}),
		input("Δ", law.Law{Kind: law.Arcsine, Centre: 0, Width: 0.05}),
	)
}
