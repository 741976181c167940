package montecarlo_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
)

// The same seed gives the same bits with any number of workers, another seed others.
func TestWorkersDoNotMatter(t *testing.T) {
	p := prepared(t, fiveTerms(t))
	for _, o := range []montecarlo.Options{
		{Trials: 123_457, Seed: 5, Probability: 0.95},
		{Trials: 1_000_000, Seed: 5, Probability: 0.95, Digits: 1},
	} {
		var first montecarlo.Result
		for _, workers := range []int{0, 1, 2, 3, 16} {
			o.Workers = workers
			r, err := p.Run(o)
			if err != nil {
				t.Fatal(err)
			}
			if workers == 0 {
				first = r
			} else if !reflect.DeepEqual(r, first) {
				t.Fatalf("%d workers: %+v, want %+v", workers, r, first)
			}
		}
		o.Seed = 6
		if r, err := p.Run(o); err != nil || *r.Mean.Value == *first.Mean.Value || r.Symmetric == first.Symmetric {
			t.Errorf("another seed gives the same: %+v, %v", r, err)
		}
	}
}

// A linear model of normal inputs, correlated or not, has a normal result with the framework's mean and u: trials differ from
// it by four of their own standard uncertainties at most.
func TestLinearNormalModels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := [3]float64{}
		inputs := []propagation.Input{}
		names := [3]string{"a", "b", "c"}
		text := "7"
		for i := range c {
			c[i] = rapid.Float64Range(-3, 3).Draw(t, "sensitivity")
			inputs = append(inputs, input(names[i], law.Law{Kind: law.Normal, Centre: rapid.Float64Range(-1e3, 1e3).Draw(t, "value"), Width: rapid.Float64Range(0.01, 10).Draw(t, "u")}))
			inputs = append(inputs, input("s"+names[i], law.Law{Kind: law.Exact, Centre: c[i]}))
			text += " + s" + names[i] + "*" + names[i]
		}
		b := budgetIn(t, text, inputs...)
		if rapid.Bool().Draw(t, "correlated") {
			// Two coefficients of one input with two others fit together where their squares sum to 1 at most.
			angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
			r := rapid.Float64Range(0, 1).Draw(t, "r")
			b.Correlations = []propagation.Correlation{{A: 0, B: 2, Coefficient: r * math.Cos(angle)}, {A: 0, B: 4, Coefficient: r * math.Sin(angle)}}
		}
		g, err := b.Evaluate()
		if err != nil {
			t.Fatal(err)
		}
		p, err := montecarlo.Prepare(b)
		if err != nil {
			t.Fatal(err)
		}
		const trials = 40_000
		m, err := p.Run(montecarlo.Options{Trials: trials, Seed: rapid.Uint64().Draw(t, "seed"), Probability: 0.95, Workers: 2})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(*m.Mean.Value-g.Value) > 5*g.CombinedU/math.Sqrt(trials)+1e-12 || math.Abs(*m.U.Value-g.CombinedU) > 5*g.CombinedU/math.Sqrt(2*trials)+1e-12 {
			t.Fatalf("trials %.9g, %.6g; framework %.9g, %.6g", *m.Mean.Value, *m.U.Value, g.Value, g.CombinedU)
		}
		if v := m.Validate(g.Value, g.CombinedU, *g.ExpandedU.Value, 1); v.Verdict == montecarlo.NotValidated {
			t.Fatalf("%+v", v)
		}
	})
}

func budgetIn(t *rapid.T, text string, inputs ...propagation.Input) (b *propagation.Budget) {
	t.Helper()
	return budgetOf(&testing.T{}, text, inputs...) // whose Fatal is not reached: the text is ours
}

// Inputs twice as wide, and a result in another unit, scale all figures; the same numbers are drawn.
func TestScaling(t *testing.T) {
	at := func(scale string, width float64) montecarlo.Result {
		return ran(t, budgetOf(t, scale+"*(a + b)",
			input("a", law.Law{Kind: law.Rectangular, Width: width}), input("b", law.Law{Kind: law.Student, Width: width, Shape: 5})), 50_000)
	}
	one := at("1", 1)
	for _, other := range []montecarlo.Result{at("2", 1), at("1", 2)} {
		for i, pair := range [][2]float64{
			{*one.U.Value, *other.U.Value},
			{one.Symmetric.Low, other.Symmetric.Low},
			{one.Symmetric.High, other.Symmetric.High},
			{one.Shortest.Low, other.Shortest.Low},
			{one.Shortest.High, other.Shortest.High},
		} {
			if math.Abs(pair[1]-2*pair[0]) > 1e-12*math.Abs(pair[0]) {
				t.Errorf("figure %d: %g, want %g", i, pair[1], 2*pair[0])
			}
		}
	}
}

func TestAdaptive(t *testing.T) {
	b := four(t, law.Law{Kind: law.Normal, Width: 1})
	p := prepared(t, b)
	var before int
	for digits, delta := range map[int]float64{1: 0.5, 2: 0.05} {
		r, err := p.Run(montecarlo.Options{Trials: 10_000_000, Seed: 3, Probability: 0.95, Workers: 2, Digits: digits})
		if err != nil {
			t.Fatal(err)
		}
		if !r.Stable || math.Abs(r.Tolerance-delta) > 1e-15 || r.Trials%10_000 != 0 || r.Trials < 20_000 {
			t.Errorf("%d digits: %+v", digits, r)
		}
		near(t, "u", *r.U.Value, 2, delta)
		near(t, "low", r.Symmetric.Low, -3.92, 2*delta)
		if digits == 2 {
			before = r.Trials
		}
	}
	finer, err := p.Run(montecarlo.Options{Trials: 10_000_000, Seed: 3, Probability: 0.95, Workers: 2, Digits: 2, Tolerance: 0.2})
	if err != nil || finer.Trials <= before || math.Abs(finer.Tolerance-0.01) > 1e-15 {
		t.Errorf("a fifth of the tolerance: %+v, %v, want more than %d trials", finer, err, before)
	}
	// Figures of a run that ended by the rule are those of as many trials asked for.
	fixed, err := p.Run(montecarlo.Options{Trials: finer.Trials, Seed: 3, Probability: 0.95})
	if err != nil || *fixed.Mean.Value != *finer.Mean.Value || fixed.Symmetric != finer.Symmetric || fixed.Shortest != finer.Shortest {
		t.Errorf("fixed %+v, adaptive %+v, %v", fixed, finer, err)
	}
	short, err := p.Run(montecarlo.Options{Trials: 50_000, Seed: 3, Probability: 0.95, Digits: 2, Tolerance: 0.01})
	if err != nil || short.Stable || short.Trials != 50_000 || len(short.Notes) != 1 || !strings.Contains(short.Notes[0], "not yet stable") {
		t.Errorf("%+v, %v", short, err)
	}
	// A sequence for 99.9 % has 100 000 trials.
	wide, err := p.Run(montecarlo.Options{Trials: 10_000_000, Seed: 3, Probability: 0.999, Digits: 1})
	if err != nil || wide.Trials%100_000 != 0 {
		t.Errorf("%+v, %v", wide, err)
	}
}

// JCGM 101:2008 7.9.2: u = 0.35 with one digit gives 0.05; from memory.
func TestTolerance(t *testing.T) {
	for _, tt := range []struct {
		u      float64
		digits int
		want   float64
	}{{0.35, 1, 0.05}, {0.35, 2, 0.005}, {2, 2, 0.05}, {10.1, 2, 0.5}, {1000, 1, 500}, {0.001, 2, 0.00005}, {0.0754, 1, 0.005}, {0, 2, 0}} {
		near(t, "δ", montecarlo.Tolerance(tt.u, tt.digits), tt.want, 1e-12*tt.want)
	}
}

func TestRunRefuses(t *testing.T) {
	p := prepared(t, fiveTerms(t))
	good := montecarlo.Options{Trials: 10_000, Probability: 0.95}
	for _, tt := range []struct {
		spoil func(*montecarlo.Options)
		field string
		found string
	}{
		{func(o *montecarlo.Options) { o.Trials = 1_000_000_000 }, "trials", "8.0 GB"},
		{func(o *montecarlo.Options) { o.Trials = 1999 }, "trials", "1999"},
		{func(o *montecarlo.Options) { o.Trials = -1 }, "trials", "-1"},
		{func(o *montecarlo.Options) { o.Probability = 0.999 }, "trials", "10000"},
		{func(o *montecarlo.Options) { o.Probability = 95 }, "probability", "95"},
		{func(o *montecarlo.Options) { o.Probability = math.NaN() }, "probability", "NaN"},
		{func(o *montecarlo.Options) { o.Digits = 3 }, "digits", "3"},
		{func(o *montecarlo.Options) { o.Digits = 1 }, "trials", "10000"},
	} {
		o := good
		tt.spoil(&o)
		_, err := p.Run(o)
		var input *montecarlo.InputError
		if !errors.As(err, &input) || input.Field != tt.field || !strings.Contains(input.Found, tt.found) || input.Mend == "" {
			t.Errorf("%+v: %v", o, err)
		}
	}
	if _, err := p.Run(montecarlo.Options{Trials: 2000, Probability: 0.95}); err != nil {
		t.Errorf("2000 trials do for 95 %%: %v", err)
	}
}

// Where the distribution has no mean or standard deviation none is given; the intervals stand.
func TestMissingMoments(t *testing.T) {
	for _, tt := range []struct {
		nu       float64
		mean, u  bool
		low, tol float64
	}{
		{1, false, false, -12.706, 0.5}, // table G.2 of the GUM, ν = 1, 2 and 3
		{2, true, false, -4.303, 0.1},
		{3, true, true, -3.182, 0.05},
	} {
		b := budgetOf(t, "a", propagation.Input{Name: "a", U: 1, DegreesOfFreedom: tt.nu, Law: law.Law{Kind: law.Student, Width: 1, Shape: tt.nu}})
		r := ran(t, b, 200_000)
		if (r.Mean.Value != nil) != tt.mean || (r.U.Value != nil) != tt.u || (r.U.Value == nil) != (r.U.Reason != "") {
			t.Errorf("ν = %g: mean %+v, u %+v", tt.nu, r.Mean, r.U)
		}
		near(t, "low", r.Symmetric.Low, tt.low, tt.tol)
		if _, err := prepared(t, b).Run(montecarlo.Options{Trials: 1_000_000, Probability: 0.95, Digits: 1}); (err == nil) != tt.u {
			t.Errorf("ν = %g, adaptive: %v", tt.nu, err)
		}
	}
	// A quotient of two normal quantities around 0 is distributed as t with one degree of freedom.
	r := ran(t, budgetOf(t, "a/b", input("a", law.Law{Kind: law.Normal, Centre: 0, Width: 1}), input("b", law.Law{Kind: law.Normal, Centre: 1e-3, Width: 1})), 100_000)
	if len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "no standard deviation") {
		t.Errorf("notes %q", r.Notes)
	}
}

// A trial without a value ends the run and is told with its place among the inputs, the same with any number of workers.
func TestFailure(t *testing.T) {
	b := budgetOf(t, "c*ln(a)/b", input("a", law.Law{Kind: law.Normal, Centre: 3.5, Width: 1}), input("b", law.Law{Kind: law.Exact, Centre: 2}),
		input("c", law.Law{Kind: law.Normal, Centre: 1, Width: 1}))
	p := prepared(t, b)
	var first string
	for _, workers := range []int{1, 2, 7} {
		_, err := p.Run(montecarlo.Options{Trials: 200_000, Seed: 9, Probability: 0.95, Workers: workers})
		var failure *montecarlo.FailureError
		if !errors.As(err, &failure) || failure.Fault.Text != "ln(a)" || len(failure.Region) != 1 || failure.Region[0].Name != "a" ||
			failure.Region[0].High > 0 || failure.Region[0].Low > failure.Region[0].High || failure.Failed < 1 || failure.To-failure.From != 9_999 || failure.Trial < failure.From || failure.Trial > failure.To || failure.Trial < 1 || failure.Trial > 200_000 {
			t.Fatalf("%d workers: %v", workers, err)
		}
		if first == "" {
			first = err.Error()
			if !strings.Contains(first, "the logarithm of -") || !strings.Contains(first, "trial ") || !strings.Contains(first, "where a ") {
				t.Error(first)
			}
		} else if err.Error() != first {
			t.Errorf("%d workers: %v, want %s", workers, err, first)
		}
	}
}

func TestCorrelatedOthersAreRefused(t *testing.T) {
	b := budgetOf(t, "a + b + c", input("a", law.Law{Kind: law.Normal, Width: 1}), input("b", law.Law{Kind: law.Rectangular, Width: 1}), input("c", law.Law{Kind: law.Rectangular, Width: 1}))
	b.Correlations = []propagation.Correlation{{A: 1, B: 0, Coefficient: 0.5}}
	_, err := montecarlo.Prepare(b)
	var refused *montecarlo.NotNormalError
	if !errors.As(err, &refused) || refused.Name != "b" || refused.Other != "a" || !strings.Contains(err.Error(), "b is not normal (rectangular)") {
		t.Error(err)
	}
	b.Correlations = []propagation.Correlation{{A: 0, B: 2, Coefficient: 2}}
	if _, err := montecarlo.Prepare(b); err == nil {
		t.Error("a coefficient of 2 is taken")
	}
}

// Three correlated inputs keep their standard deviations and coefficients: the variance of every sum says so.
func TestJointNormal(t *testing.T) {
	for text, want := range map[string]float64{
		"a": 1, "b": 2, "c": 3, // variances 1, 4, 9; covariances 0.5·2, −0.3·3, 0.2·6
		"a + b": math.Sqrt(1 + 4 + 2), "a + c": math.Sqrt(1 + 9 - 1.8), "b - c": math.Sqrt(4 + 9 - 2.4), "a + b + c": math.Sqrt(14 + 2 - 1.8 + 2.4),
	} {
		b := budgetOf(t, text+" + 0*(a + b + c)", input("a", law.Law{Kind: law.Normal, Centre: 5, Width: 1}), input("b", law.Law{Kind: law.Normal, Width: 2}), input("c", law.Law{Kind: law.Normal, Width: 3}))
		b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: 0.5}, {A: 0, B: 2, Coefficient: -0.3}, {A: 1, B: 2, Coefficient: 0.2}}
		r := ran(t, b, 400_000)
		near(t, text, *r.U.Value, want, 4*want/math.Sqrt(2*400_000))
	}
}

func TestValidationVerdicts(t *testing.T) {
	r := montecarlo.Result{Symmetric: montecarlo.Interval{Low: -2, High: 2}, LowU: 0.01, HighU: 0.01}
	for _, tt := range []struct {
		expanded float64
		want     montecarlo.Verdict
	}{{2, montecarlo.Validated}, {2.029, montecarlo.Validated}, {2.04, montecarlo.Undecided}, {2.06, montecarlo.Undecided}, {2.071, montecarlo.NotValidated}, {1.9, montecarlo.NotValidated}} {
		if v := r.Validate(0, 1, tt.expanded, 2); v.Verdict != tt.want {
			t.Errorf("U = %g: %+v, want %s", tt.expanded, v, tt.want)
		}
	}
}

// All inputs certain: every trial gives the value.
func TestNothingVaries(t *testing.T) {
	r := ran(t, budgetOf(t, "2*a", input("a", law.Law{Kind: law.Exact, Centre: 4})), 200_000)
	if *r.Mean.Value != 8 || *r.U.Value != 0 || r.Symmetric != (montecarlo.Interval{Low: 8, High: 8}) || r.Shortest != r.Symmetric || len(r.Notes) > 0 {
		t.Errorf("%+v", r)
	}
}
