package propagation_test

import (
	"math"
	"testing"

	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/propagation"
	"plumbrule/rules/figure"
)

var infinite = math.Inf(1)

// input is one with a standard uncertainty and degrees of freedom.
func input(name string, value, u, nu float64) propagation.Input {
	return propagation.Input{Name: name, Value: value, U: u, DegreesOfFreedom: nu, Law: law.Law{Kind: law.Normal, Centre: value, Width: u}}
}

func rectangular(name string, value, half float64) propagation.Input {
	in := input(name, value, half/math.Sqrt(3), infinite)
	in.Law = law.Law{Kind: law.Rectangular, Centre: value, Width: half}
	return in
}

// readings is the mean of readings taken together with those of the same set.
func readings(name, set string, values ...float64) propagation.Input {
	n, sum, squares := float64(len(values)), 0.0, 0.0
	for _, v := range values {
		sum += v
	}
	for _, v := range values {
		squares += (v - sum/n) * (v - sum/n)
	}
	in := input(name, sum/n, math.Sqrt(squares/(n-1)/n), n-1)
	in.Law = law.Law{Kind: law.Student, Centre: sum / n, Width: in.U, Shape: n - 1}
	in.Set, in.Readings = set, values
	return in
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

func evaluate(t testing.TB, b *propagation.Budget) propagation.Result {
	t.Helper()
	r, err := b.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// near fails unless got is within tolerance of want; NaN is never near.
func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.10g, want %.10g ± %g", what, got, want, tolerance)
	}
}

func figureNear(t testing.TB, what string, got figure.Figure, want, tolerance float64) {
	t.Helper()
	if got.Value == nil {
		t.Errorf("%s is absent: %s", what, got.Reason)
		return
	}
	near(t, what, *got.Value, want, tolerance)
}
