package budget_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget"
)

var infinite = math.Inf(1)

func certain(u ...float64) []budget.Component {
	var cs []budget.Component
	for _, v := range u {
		cs = append(cs, budget.Component{Name: "part", U: v, Sensitivity: 1, DegreesOfFreedom: infinite})
	}
	return cs
}

func combine(t *testing.T, cs []budget.Component, c budget.Coverage) budget.Result {
	t.Helper()
	r, err := budget.Combine(cs, c)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// JCGM 100:2008 (GUM), H.1: end gauge of 50 mm by comparison. Lengths in nm here and in the result;
// the three parts of the difference are rounded as H.1.3.2 prints them, the others are not.
func TestGUMH1(t *testing.T) {
	const lengthNM = 50_000_623
	cs := []budget.Component{
		{Name: "certificate", U: 75.0 / 3, Sensitivity: 1, DegreesOfFreedom: 18},
		{Name: "mean of 5", U: 5.8, Sensitivity: 1, DegreesOfFreedom: 24},
		{Name: "comparator, random", U: 3.9, Sensitivity: 1, DegreesOfFreedom: 5},
		{Name: "comparator, systematic", U: 6.7, Sensitivity: 1, DegreesOfFreedom: 8},
		{Name: "coefficient of the standard", U: budget.Rectangular(2e-6), Sensitivity: 0, DegreesOfFreedom: infinite},
		{Name: "temperature", U: math.Hypot(0.2, budget.Arcsine(0.5)), Sensitivity: 0, DegreesOfFreedom: infinite},
		{Name: "difference of coefficients", U: budget.Rectangular(1e-6), Sensitivity: lengthNM * 0.1, DegreesOfFreedom: 50},
		{Name: "difference of temperatures", U: budget.Rectangular(0.05), Sensitivity: -lengthNM * 11.5e-6, DegreesOfFreedom: 2},
	}
	near(t, "u of the temperature", cs[5].U, 0.40620, 5e-6)
	r := combine(t, cs, budget.Coverage{Probability: 0.99})
	near(t, "u_c", r.CombinedUM, 31.664, 5e-4) // published 32
	near(t, "effective degrees of freedom", r.EffectiveDOF, 16.75, 5e-3)
	if r.UsedDOF != 16 { // published
		t.Errorf("used degrees of freedom %g, want 16", r.UsedDOF)
	}
	near(t, "t99", r.CoverageFactor, 2.9208, 5e-5)
	near(t, "U99", r.ExpandedUM, 92.48, 5e-3) // published 93, from 2.92 · 32
	near(t, "share of the certificate", r.Shares[0], 625/(31.664*31.664), 5e-5)
	if r.Shares[4] != 0 || r.CoverageProbability != 0.99 {
		t.Errorf("share without sensitivity %g, probability %g", r.Shares[4], r.CoverageProbability)
	}
}

// EA-4/02 M:2022, examples S2, S4 and S10, each in its own unit.
func TestEA402(t *testing.T) {
	tests := []struct {
		name      string
		u         []float64
		want      float64
		tolerance float64
	}{
		{"S2, weight of 10 kg in mg (published 29.3)", []float64{
			45.0 / 2, budget.Rectangular(15), 25 / math.Sqrt(3), budget.Rectangular(10), budget.Rectangular(10),
		}, 29.262, 5e-4},
		{"S4, gauge block of 50 mm in nm (published 36.4)", []float64{
			30.0 / 2, budget.Rectangular(30), 12 / math.Sqrt(5), budget.Rectangular(32), 575 * budget.Rectangular(0.05),
			50e6 * budget.Triangular(2e-6) * budget.Rectangular(0.5), budget.Rectangular(6.7),
		}, 36.394, 5e-4},
		{"S10, caliper at 150 mm in µm (published 0.033 mm)", []float64{
			budget.Rectangular(0.8), budget.Rectangular(3.45), budget.Rectangular(25), budget.Rectangular(50),
		}, 32.340, 5e-4},
	}
	for _, tt := range tests {
		r := combine(t, certain(tt.u...), budget.Coverage{})
		near(t, tt.name, r.CombinedUM, tt.want, tt.tolerance)
		if r.CoverageFactor != 2 || r.ExpandedUM != 2*r.CombinedUM || !math.IsInf(r.EffectiveDOF, 1) {
			t.Errorf("%s: %+v, want k = 2 and infinite degrees of freedom", tt.name, r)
		}
	}
}

func TestStatedFactor(t *testing.T) {
	r := combine(t, []budget.Component{{U: 1.5, Sensitivity: -2, DegreesOfFreedom: 4}}, budget.Coverage{Factor: 2.7764451})
	near(t, "U", r.ExpandedUM, 3*2.7764451, 1e-12)
	near(t, "probability", r.CoverageProbability, 0.95, 5e-8) // GUM table G.2, ν = 4
	r = combine(t, certain(1), budget.Coverage{Factor: 3})
	near(t, "probability", r.CoverageProbability, 0.9973002, 5e-8)
}

// One part alone must keep its degrees of freedom through the division 1/(1/ν), of which 49 is the classic victim.
func TestTruncationKeepsWholeDegrees(t *testing.T) {
	for nu := 1.0; nu <= 200; nu++ {
		r := combine(t, []budget.Component{{U: 0.3, Sensitivity: 0.7, DegreesOfFreedom: nu}}, budget.Coverage{})
		if r.UsedDOF != nu {
			t.Errorf("ν = %g alone is used as %g", nu, r.UsedDOF)
		}
	}
	// Two equal parts of ν = 5: ν_eff = 10; with 16.75, 16 is used (H.1 above) and not 17.
	r := combine(t, []budget.Component{{U: 1, Sensitivity: 1, DegreesOfFreedom: 5}, {U: 1, Sensitivity: -1, DegreesOfFreedom: 5}}, budget.Coverage{})
	near(t, "ν_eff", r.EffectiveDOF, 10, 1e-12)
	near(t, "u_c", r.CombinedUM, math.Sqrt2, 1e-15)
}

func TestZeroBudget(t *testing.T) {
	r := combine(t, certain(0, 0), budget.Coverage{})
	if r.CombinedUM != 0 || r.ExpandedUM != 0 || r.CoverageFactor != 2 || !math.IsInf(r.EffectiveDOF, 1) || r.Shares[0] != 0 || r.Shares[1] != 0 {
		t.Errorf("two zeros combine to %+v", r)
	}
}

func TestCombineRefuses(t *testing.T) {
	good := budget.Component{Name: "x", U: 1, Sensitivity: 1, DegreesOfFreedom: infinite}
	spoiled := func(spoil func(*budget.Component)) []budget.Component {
		c := good
		spoil(&c)
		return []budget.Component{good, c}
	}
	tests := []struct {
		components []budget.Component
		coverage   budget.Coverage
		field      string
	}{
		{nil, budget.Coverage{}, "components"},
		{spoiled(func(c *budget.Component) { c.U = math.NaN() }), budget.Coverage{}, "component 2 (x) u"},
		{spoiled(func(c *budget.Component) { c.U = -1 }), budget.Coverage{}, "component 2 (x) u"},
		{spoiled(func(c *budget.Component) { c.U = infinite }), budget.Coverage{}, "component 2 (x) u"},
		{spoiled(func(c *budget.Component) { c.Sensitivity = math.NaN() }), budget.Coverage{}, "component 2 (x) sensitivity"},
		{spoiled(func(c *budget.Component) { c.DegreesOfFreedom = 0 }), budget.Coverage{}, "component 2 (x) degrees_of_freedom"},
		{spoiled(func(c *budget.Component) { c.DegreesOfFreedom = math.NaN() }), budget.Coverage{}, "component 2 (x) degrees_of_freedom"},
		{[]budget.Component{good}, budget.Coverage{Probability: 0.95, Factor: 2}, "coverage"},
		{[]budget.Component{good}, budget.Coverage{Probability: 95}, "coverage_probability"},
		{[]budget.Component{good}, budget.Coverage{Probability: math.NaN()}, "coverage_probability"},
		{[]budget.Component{good}, budget.Coverage{Factor: -2}, "coverage_factor"},
		{[]budget.Component{good}, budget.Coverage{Factor: math.NaN()}, "coverage_factor"},
	}
	for _, tt := range tests {
		r, err := budget.Combine(tt.components, tt.coverage)
		var input *budget.InputError
		if !errors.As(err, &input) || input.Field != tt.field || input.Mend == "" || r.Shares != nil {
			t.Errorf("%v %+v: %v, want an error on %q with a remedy and no result", tt.components, tt.coverage, err, tt.field)
		}
	}
}

func TestCombinationLaws(t *testing.T) {
	part := rapid.Custom(func(t *rapid.T) budget.Component {
		return budget.Component{
			U:                math.Exp(rapid.Float64Range(-300, 20).Draw(t, "ln u")),
			Sensitivity:      rapid.Float64Range(-1e3, 1e3).Draw(t, "c"),
			DegreesOfFreedom: math.Exp(rapid.Float64Range(0, 20).Draw(t, "ln nu")),
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		cs := rapid.SliceOfN(part, 1, 8).Draw(t, "components")
		r, err := budget.Combine(cs, budget.Coverage{})
		if err != nil {
			t.Fatal(err)
		}
		least, sumDOF, largest, sum := infinite, 0.0, 0.0, 0.0
		for i, c := range cs {
			largest = math.Max(largest, c.ContributionUM())
			sum += r.Shares[i]
			if r.Shares[i] > 0 {
				least, sumDOF = math.Min(least, c.DegreesOfFreedom), sumDOF+c.DegreesOfFreedom
			}
		}
		if r.CombinedUM < largest || r.CombinedUM > largest*math.Sqrt(float64(len(cs)))*(1+1e-12) {
			t.Fatalf("u_c %g from a largest part %g of %d", r.CombinedUM, largest, len(cs))
		}
		if largest > 0 && (math.Abs(sum-1) > 1e-12 || r.EffectiveDOF < least*(1-1e-12) || r.EffectiveDOF > sumDOF*(1+1e-12)) {
			t.Fatalf("shares sum to %g, ν_eff %g outside [%g, %g]", sum, r.EffectiveDOF, least, sumDOF)
		}
		if !(r.CoverageFactor >= 2) || math.IsInf(r.ExpandedUM, 0) {
			t.Fatalf("k %g, U %g", r.CoverageFactor, r.ExpandedUM)
		}
	})
}
