package propagation_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
	"plumbrule/rules/budget/expression"
	"plumbrule/rules/budget/propagation"
)

// A sum of independent inputs is what package budget makes of the same components.
func TestSumsAgreeWithComponents(t *testing.T) {
	names := []string{"a", "b", "c", "d"}
	rapid.Check(t, func(t *rapid.T) {
		var inputs []propagation.Input
		var parts []budget.Component
		text := "1"
		for _, name := range names[:rapid.IntRange(1, 4).Draw(t, "inputs")] {
			u, nu := math.Exp(rapid.Float64Range(-20, 20).Draw(t, "ln u")), math.Exp(rapid.Float64Range(0, 10).Draw(t, "ln ν"))
			inputs = append(inputs, input(name, rapid.Float64Range(-100, 100).Draw(t, "value"), u, nu))
			parts = append(parts, budget.Component{Name: name, U: u, Sensitivity: -1, DegreesOfFreedom: nu})
			text += " - " + name
		}
		got, err := budgetOf(&testing.T{}, text, inputs...).Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		want, err := budget.Combine(parts, budget.Coverage{Probability: 0.95})
		if err != nil {
			t.Fatal(err)
		}
		for i, pair := range [][2]float64{
			{got.CombinedU, want.CombinedUM},
			{*got.EffectiveDOF.Value, want.EffectiveDOF},
			{*got.UsedDOF.Value, want.UsedDOF},
			{*got.CoverageFactor.Value, want.CoverageFactor},
			{*got.ExpandedU.Value, want.ExpandedUM},
			{got.Components[0].Share, want.Shares[0]},
		} {
			if pair[0] != pair[1] && !(math.Abs(pair[0]-pair[1]) <= 1e-11*math.Abs(pair[1])) {
				t.Fatalf("figure %d: %g, want %g", i, pair[0], pair[1])
			}
		}
	})
}

// Fully correlated inputs add as their contributions do, with sign; r from −1 to 1 lies between.
func TestCorrelation(t *testing.T) {
	at := func(r float64) propagation.Result {
		b := budgetOf(t, "a + 2*b", input("a", 1, 3, infinite), input("b", 1, 2, infinite))
		b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: r}}
		return evaluate(t, b)
	}
	near(t, "r = 1", at(1).CombinedU, 7, 1e-12)
	near(t, "r = -1", at(-1).CombinedU, 1, 1e-12)
	near(t, "r = 0.5", at(0.5).CombinedU, math.Sqrt(9+16+12), 1e-12)
	near(t, "share of a", at(-1).Components[0].Share, (9.0-12)/1, 1e-12) // covariance with the whole: negative here
	near(t, "share of b", at(-1).Components[1].Share, (16.0-12)/1, 1e-12)
	b := budgetOf(t, "a - b", input("a", 1, 3, infinite), input("b", 1, 3, infinite))
	b.Correlations = []propagation.Correlation{{A: 1, B: 0, Coefficient: 1}}
	r := evaluate(t, b)
	if r.CombinedU != 0 || *r.ExpandedU.Value != 0 || !math.IsInf(*r.EffectiveDOF.Value, 1) || r.Components[0].Share != 0 {
		t.Errorf("what cancels leaves %+v", r)
	}
}

// Degrees of freedom of correlated contributions: known where all are certain, or for readings taken together and nothing
// else; absent otherwise, with a reason, and not zero.
func TestFreedomOfCorrelatedInputs(t *testing.T) {
	set := []propagation.Input{readings("a", "s", 1, 2, 3, 5), readings("b", "s", 2, 1, 4, 4), input("c", 0, 1, 7), input("d", 0, 1, infinite)}
	together := evaluate(t, budgetOf(t, "a + b", set[0], set[1]))
	figureNear(t, "ν of the set", together.EffectiveDOF, 3, 1e-12)
	with := evaluate(t, budgetOf(t, "a + b + c", set[0], set[1], set[2]))
	u := together.CombinedU
	figureNear(t, "ν with another", with.EffectiveDOF, (u*u+1)*(u*u+1)/(u*u*u*u/3+1.0/7), 1e-9)
	for name, tt := range map[string]struct {
		correlations []propagation.Correlation
		known        bool
	}{
		"none but the set's":  {nil, true},
		"set with another":    {[]propagation.Correlation{{A: 0, B: 2, Coefficient: 0.1}}, false},
		"finite with certain": {[]propagation.Correlation{{A: 2, B: 3, Coefficient: 0.1}}, false},
		"through a third":     {[]propagation.Correlation{{A: 1, B: 3, Coefficient: 0.1}}, false},
	} {
		b := budgetOf(t, "a + b + c + d", set...)
		b.Correlations = tt.correlations
		r := evaluate(t, b)
		if (r.EffectiveDOF.Value != nil) != tt.known || !tt.known && (!strings.Contains(r.EffectiveDOF.Reason, "Satterthwaite") || r.CoverageFactor.Value != nil) {
			t.Errorf("%s: %+v", name, r.EffectiveDOF)
		}
	}
	certain := budgetOf(t, "c + d + e", set[2], set[3], input("e", 0, 2, infinite))
	certain.Correlations = []propagation.Correlation{{A: 1, B: 2, Coefficient: 0.5}}
	figureNear(t, "ν beside certain ones", evaluate(t, certain).EffectiveDOF, 7*8*8, 1e-9) // variances 1 and 1 + 4 + 2
	// A correlation with an input that does not move the result changes nothing.
	b := budgetOf(t, "c + 0*d", set[2], set[3])
	b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.5}}
	figureNear(t, "ν alone", evaluate(t, b).EffectiveDOF, 7, 1e-9)
}

// The second-order terms of a product of independent inputs are exact: u² = y²u_x² + x²u_y² + u_x²u_y².
func TestProductIsExactToSecondOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(-10, 10).Draw(t, "x"), rapid.Float64Range(-10, 10).Draw(t, "y")
		ux, uy := rapid.Float64Range(0.1, 10).Draw(t, "u(x)"), rapid.Float64Range(0.1, 10).Draw(t, "u(y)")
		r, err := budgetOf(&testing.T{}, "x*y", input("x", x, ux, infinite), input("y", y, uy, infinite)).Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		want := math.Sqrt(y*y*ux*ux + x*x*uy*uy + ux*ux*uy*uy)
		if math.Abs(*r.Second.U.Value-want) > 1e-12*want || *r.Second.Shift.Value != 0 {
			t.Fatalf("u %g, want %g, shift %g", *r.Second.U.Value, want, *r.Second.Shift.Value)
		}
	})
}

// For normal X the terms of GUM 5.1.2, note, add to the variance of X² and X³ up to the order u⁴: 4x²u² + 2u⁴ and
// 9x⁴u² + 36x²u⁴, from the moments of the normal distribution.
func TestPowersToSecondOrder(t *testing.T) {
	const x, u = 3.0, 0.2
	r := evaluate(t, budgetOf(t, "x^2", input("x", x, u, infinite)))
	figureNear(t, "u of x²", r.Second.U, math.Sqrt(4*x*x*u*u+2*u*u*u*u), 1e-12)
	figureNear(t, "shift of x²", r.Second.Shift, u*u, 1e-15)
	r = evaluate(t, budgetOf(t, "x^3", input("x", x, u, infinite)))
	figureNear(t, "u of x³", r.Second.U, math.Sqrt(9*math.Pow(x, 4)*u*u+36*x*x*math.Pow(u, 4)), 1e-12)
	figureNear(t, "shift of x³", r.Second.Shift, 3*x*u*u, 1e-12)
}

// The moments of independent normal X and Y give the variance of X²Y; its terms up to the order u⁴ are those of GUM 5.1.2, note,
// whichever of the two comes first.
func TestSquareTimesAnotherToSecondOrder(t *testing.T) {
	const x, y, ux, uy = 3.0, 2.0, 0.2, 0.3
	want := math.Sqrt(4*x*x*y*y*ux*ux + x*x*x*x*uy*uy + 2*y*y*math.Pow(ux, 4) + 6*x*x*ux*ux*uy*uy)
	a, b := input("x", x, ux, infinite), input("y", y, uy, infinite)
	figureNear(t, "u of x²y", evaluate(t, budgetOf(t, "x^2*y", a, b)).Second.U, want, 1e-12)
	figureNear(t, "u of yx²", evaluate(t, budgetOf(t, "x^2*y", b, a)).Second.U, want, 1e-12)
}

func TestSecondOrderAbsent(t *testing.T) {
	b := budgetOf(t, "x*y", input("x", 1, 1, infinite), input("y", 1, 1, infinite))
	b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.3}}
	r := evaluate(t, b)
	if r.Second.U.Value != nil || !strings.Contains(r.Second.U.Reason, "x and y are correlated") {
		t.Errorf("%+v", r.Second)
	}
	b.Order = 2
	var refused *propagation.InputError
	if _, err := b.Evaluate(); !errors.As(err, &refused) || refused.Field != "order" {
		t.Errorf("order 2: %v", err)
	}
	r = evaluate(t, budgetOf(t, "x^1.5", input("x", 0, 1, infinite)))
	if r.Second.U.Value != nil || !strings.Contains(r.Second.U.Reason, "no higher derivative by x") {
		t.Errorf("%+v", r.Second)
	}
	r = evaluate(t, budgetOf(t, "sin(x)", input("x", 0, 2, infinite)))
	if r.Second.U.Value != nil || !strings.Contains(r.Second.U.Reason, "larger than the first") {
		t.Errorf("%+v", r.Second)
	}
}

func TestNotes(t *testing.T) {
	codes := func(b *propagation.Budget) (all []string) {
		for _, n := range evaluate(t, b).Notes {
			all = append(all, n.Code)
		}
		return all
	}
	for _, tt := range []struct {
		b    *propagation.Budget
		want string
	}{
		{budgetOf(t, "x*y", input("x", 0, 1, infinite), input("y", 0, 1, infinite)), propagation.NoteSecondOrder},
		{budgetOf(t, "sin(x)", input("x", 0, 0.4, infinite)), propagation.NoteSecondLower},
		{budgetOf(t, "x + 0*y", input("x", 0, 1, infinite), input("y", 0, 1, infinite)), propagation.NoteIdle},
		{budgetOf(t, "x", input("x", 0, 1, 2)), propagation.NoteLowFreedom},
		{budgetOf(t, "x + y", rectangular("x", 0, 1), input("y", 0, 0.01, infinite)), propagation.NoteDominant},
		{budgetOf(t, "x + y + z", rectangular("x", 0, 1), rectangular("y", 0, 1), rectangular("z", 0, 0.9)), ""},
		{budgetOf(t, "x", input("x", 0, 1, 9)), ""},
	} {
		if got := strings.Join(codes(tt.b), " "); got != tt.want {
			t.Errorf("notes %q, want %q", got, tt.want)
		}
	}
}

func TestEvaluateRefuses(t *testing.T) {
	good := func() *propagation.Budget {
		return budgetOf(t, "a + b", readings("a", "s", 1, 2, 4), input("b", 1, 1, infinite))
	}
	for _, tt := range []struct {
		field string
		spoil func(*propagation.Budget)
	}{
		{"inputs", func(b *propagation.Budget) { b.Inputs = b.Inputs[:1] }},
		{"input a value", func(b *propagation.Budget) { b.Inputs[0].Value = math.NaN() }},
		{"input b u", func(b *propagation.Budget) { b.Inputs[1].U = -1 }},
		{"input b u", func(b *propagation.Budget) { b.Inputs[1].U = math.Inf(1) }},
		{"input b degrees_of_freedom", func(b *propagation.Budget) { b.Inputs[1].DegreesOfFreedom = 0 }},
		{"order", func(b *propagation.Budget) { b.Order = 3 }},
		{"coverage", func(b *propagation.Budget) { b.Coverage.Factor = 2 }},
		{"coverage", func(b *propagation.Budget) { b.Coverage = propagation.Coverage{} }},
		{"coverage", func(b *propagation.Budget) {
			b.Coverage = propagation.Coverage{Factor: 2, Law: propagation.ByTrapezoidal}
		}},
		{"coverage_factor", func(b *propagation.Budget) { b.Coverage = propagation.Coverage{Factor: -2} }},
		{"coverage_probability", func(b *propagation.Budget) { b.Coverage.Probability = 95 }},
		{"result-law", func(b *propagation.Budget) { b.Coverage.Law = propagation.ByRectangle }},
		{"result-law", func(b *propagation.Budget) { b.Coverage.Law = propagation.ByTrapezoidal }},
		{"set s", func(b *propagation.Budget) { b.Inputs[1].Set, b.Inputs[1].Readings = "s", []float64{1, 2} }},
		{"correlation", func(b *propagation.Budget) { b.Correlations = []propagation.Correlation{{A: 0, B: 2}} }},
		{"correlation between a, a", func(b *propagation.Budget) { b.Correlations = []propagation.Correlation{{A: 0, B: 0, Coefficient: 1}} }},
		{"correlation between a, b", func(b *propagation.Budget) {
			b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 1.01}}
		}},
		{"correlation between b, a", func(b *propagation.Budget) {
			b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.5}, {A: 1, B: 0, Coefficient: 0.5}}
		}},
		{"correlation between a, b", func(b *propagation.Budget) {
			b.Inputs[1] = readings("b", "s", 1, 2, 3)
			b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.5}}
		}},
	} {
		b := good()
		tt.spoil(b)
		_, err := b.Evaluate()
		var refused *propagation.InputError
		if !errors.As(err, &refused) || refused.Field != tt.field || refused.Mend == "" {
			t.Errorf("%s: %v", tt.field, err)
		}
	}
	b := budgetOf(t, "a + b + c", input("a", 0, 1, infinite), input("b", 0, 1, infinite), input("c", 0, 1, infinite))
	b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.9}, {A: 1, B: 2, Coefficient: 0.9}, {A: 0, B: 2, Coefficient: 0.5}}
	var matrix *propagation.MatrixError
	if _, err := b.Evaluate(); !errors.As(err, &matrix) || matrix.Name != "c" {
		t.Errorf("0.9, 0.9 and 0.5: %v", err)
	}
	b.Correlations[2].Coefficient = 0.62 // from 0.62 to 1 they go together: r₁₂r₂₃ ± √((1 − r₁₂²)(1 − r₂₃²))
	if _, err := b.Evaluate(); err != nil {
		t.Error(err)
	}
	b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 1}, {A: 1, B: 2, Coefficient: 0.9}, {A: 0, B: 2, Coefficient: 0.8}}
	if _, err := b.Evaluate(); !errors.As(err, &matrix) {
		t.Errorf("1, 0.9 and 0.8: %v", err)
	}
	b.Correlations[2].Coefficient = 0.9
	if _, err := b.Evaluate(); err != nil {
		t.Error(err)
	}
	var fault *expression.Fault
	if _, err := budgetOf(t, "1/a", input("a", 0, 1, infinite)).Evaluate(); !errors.As(err, &fault) {
		t.Errorf("1/0: %v", err)
	}
	if _, err := budgetOf(t, "abs(a)", input("a", 0, 1, infinite)).Evaluate(); !errors.As(err, &fault) || fault.What != "no derivative" {
		t.Errorf("abs(0): %v", err)
	}
}

func TestDefinitionsHaveTheirUncertainty(t *testing.T) {
	measurand, err := expression.Parse("l*(1 + q)")
	if err != nil {
		t.Fatal(err)
	}
	part, err := expression.Parse("α*θ")
	if err != nil {
		t.Fatal(err)
	}
	m, err := expression.Compile([]string{"l", "α", "θ"}, measurand, expression.Definition{Name: "q", Is: part})
	if err != nil {
		t.Fatal(err)
	}
	b := &propagation.Budget{
		Model: m, Definitions: []string{"q"}, Coverage: propagation.Coverage{Factor: 2}, Order: 1,
		Inputs: []propagation.Input{input("l", 100, 1, infinite), input("α", 0.1, 0.03, infinite), input("θ", 2, 0.4, infinite)},
	}
	r := evaluate(t, b)
	if len(r.Definitions) != 1 || r.Definitions[0].Name != "q" {
		t.Fatalf("%+v", r.Definitions)
	}
	near(t, "q", r.Definitions[0].Value, 0.2, 1e-15)
	near(t, "u(q)", r.Definitions[0].U, math.Hypot(0.06, 0.04), 1e-15)
}
