package montecarlo_test

import (
	"math"
	"testing"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/montecarlo"
	"plumbrule/rules/budget/propagation"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.8g, want %.8g ± %g", what, got, want, tolerance)
	}
}

func evaluated(t *testing.T, b *propagation.Budget) propagation.Result {
	t.Helper()
	r, err := b.Evaluate()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func validated(t *testing.T, g propagation.Result, m montecarlo.Result, digits int) montecarlo.Validation {
	t.Helper()
	return m.Validate(g.Value, g.CombinedU, *g.ExpandedU.Value, digits)
}

func four(t *testing.T, l law.Law) *propagation.Budget {
	t.Helper()
	return budgetOf(t, "a + b + c + d", input("a", l), input("b", l), input("c", l), input("d", l))
}

// JCGM 101:2008 9.2.2: four normal quantities; 9.2.3: four rectangular ones of the same standard deviation, whose exact
// interval is ±2√3·(2 − (3/5)^¼).
func TestAdditiveModel(t *testing.T) {
	normal := four(t, law.Law{Kind: law.Normal, Width: 1})
	g, m := evaluated(t, normal), ran(t, normal, 1_000_000)
	near(t, "u_c", g.CombinedU, 2, 1e-12)
	near(t, "U", *g.ExpandedU.Value, 3.91993, 5e-6)
	near(t, "mean", *m.Mean.Value, 0, 4*m.MeanU)
	near(t, "u", *m.U.Value, 2, 0.006)
	near(t, "low", m.Symmetric.Low, -3.91993, 4*m.LowU)
	near(t, "high", m.Symmetric.High, 3.91993, 4*m.HighU)
	near(t, "numerical uncertainty of an end", m.LowU, 0.00534, 0.0005) // √(p(1−p)/M) over the density there, in closed form
	if v := validated(t, g, m, 1); v.Verdict != montecarlo.Validated || v.Tolerance != 0.5 {
		t.Errorf("%+v, want validated with δ = 0.5", v)
	}
	if v := validated(t, g, m, 2); v.Verdict != montecarlo.Validated || v.Tolerance != 0.05 {
		t.Errorf("%+v, want validated with δ = 0.05", v)
	}

	const exact = 3.87941
	rectangular := four(t, law.Law{Kind: law.Rectangular, Width: math.Sqrt(3)})
	g, m = evaluated(t, rectangular), ran(t, rectangular, 4_000_000)
	near(t, "u", *m.U.Value, 2, 0.003)
	near(t, "low", m.Symmetric.Low, -exact, 4*m.LowU)
	near(t, "high", m.Symmetric.High, exact, 4*m.HighU)
	near(t, "shortest", m.Shortest.High-m.Shortest.Low, 2*exact, 0.015)
	// The framework gives ±3.92: off by 0.04, which two digits (δ = 0.05) forgive.
	v := validated(t, g, m, 2)
	near(t, "difference", v.LowDiff, 3.91993-exact, 4*m.LowU)
	if v.Verdict != montecarlo.Validated {
		t.Errorf("%+v, want validated", v)
	}
}

// JCGM 101:2008 9.2.4: one rectangular quantity ten times as wide as three others; from memory, u = 10.1 and ±17.0 by trials,
// ±19.9 by the framework, which is not validated.
func TestDominantRectangular(t *testing.T) {
	l := law.Law{Kind: law.Rectangular, Width: math.Sqrt(3)}
	wide := law.Law{Kind: law.Rectangular, Width: 10 * math.Sqrt(3)}
	b := budgetOf(t, "a + b + c + d", input("a", l), input("b", l), input("c", l), input("d", wide))
	g, m := evaluated(t, b), ran(t, b, 1_000_000)
	near(t, "u", *m.U.Value, 10.1, 0.05)
	near(t, "U", *g.ExpandedU.Value, 19.9, 0.05)
	near(t, "low", m.Symmetric.Low, -17.0, 0.05)
	near(t, "high", m.Symmetric.High, 17.0, 0.05)
	if v := validated(t, g, m, 2); v.Verdict != montecarlo.NotValidated {
		t.Errorf("%+v, want not validated", v)
	}
}

// JCGM 101:2008 9.3, calibration of a mass (table 6, from memory), in mg and kg/m³: first order u = 0.0539, [1.1285, 1.3395];
// trials 0.0754, [1.0834, 1.3825]; second order 0.0750, [1.0870, 1.3810]. The published trials were stopped at δ = 0.005; the
// moments of the quotients give u = 0.075483 in closed form.
func TestMassCalibration(t *testing.T) {
	rectangular := func(name string, low, high float64) propagation.Input {
		return input(name, law.Law{Kind: law.Rectangular, Centre: (low + high) / 2, Width: (high - low) / 2})
	}
	b := budgetOf(t, "(m_R + δm_R)*(1 + (ρ_a - 1.2)*(1/ρ_W - 1/ρ_R)) - 100000",
		input("m_R", law.Law{Kind: law.Normal, Centre: 100_000, Width: 0.050}),
		input("δm_R", law.Law{Kind: law.Normal, Centre: 1.234, Width: 0.020}),
		rectangular("ρ_a", 1.10, 1.30), rectangular("ρ_W", 7e3, 9e3), rectangular("ρ_R", 7.95e3, 8.05e3))
	g := evaluated(t, b)
	near(t, "value", g.Value, 1.2340, 5e-5)
	near(t, "u, first order", g.CombinedU, 0.0539, 5e-5)
	near(t, "low, first order", g.Value-*g.ExpandedU.Value, 1.1285, 5e-5)
	near(t, "high, first order", g.Value+*g.ExpandedU.Value, 1.3395, 1e-4)
	m := ran(t, b, 4_000_000)
	near(t, "mean", *m.Mean.Value, 1.2341, 2e-4)
	near(t, "u", *m.U.Value, 0.075483, 1e-4)
	near(t, "shortest low", m.Shortest.Low, 1.0834, 2.5e-3)
	near(t, "shortest high", m.Shortest.High, 1.3825, 2.5e-3)
	near(t, "symmetric width", m.Symmetric.High-m.Symmetric.Low, 1.3825-1.0834, 1e-3)
	v := validated(t, g, m, 1)
	near(t, "d_low", v.LowDiff, 0.0451, 1.5e-3)
	near(t, "d_high", v.HighDiff, 0.0430, 1.5e-3)
	if v.Verdict != montecarlo.NotValidated || math.Abs(v.Tolerance-0.005) > 1e-15 {
		t.Errorf("%+v, want not validated with δ = 0.005", v)
	}
	b.Order = 2
	g = evaluated(t, b)
	near(t, "u, second order", g.CombinedU, 0.0750, 5e-5)
	near(t, "low, second order", g.Value-*g.ExpandedU.Value, 1.0870, 1e-4)
	near(t, "high, second order", g.Value+*g.ExpandedU.Value, 1.3810, 1e-4)
	if v := validated(t, g, m, 1); v.Verdict != montecarlo.Validated {
		t.Errorf("%+v, want validated", v)
	}
}

// JCGM 101:2008 9.4, comparison loss Y = X₁² + X₂² with u = 0.005 each, in 1e-6; estimates, standard uncertainties and
// shortest intervals from memory, the first two and the intervals at 0 also in closed form: with r = 0, Y/u² is chi-squared
// with 2 degrees of freedom, non-central where x₁ is not 0; with r it is a sum of two with the weights 1 ± r.
func TestComparisonLoss(t *testing.T) {
	for _, tt := range []struct {
		x, r, mean, u, low, high, first, second float64
	}{
		{0, 0, 50, 50, 0, 150, 0, 50},
		{0.010, 0, 150, 112, 0, 367, 100, 112},
		{0.050, 0, 2551, 502, 1590, 3543, 500, 502},
		{0, 0.9, 50, 67, 0, 185, 0, 0},
		{0.010, 0.9, 150, 121, 0, 398, 100, 0},
		{0.050, 0.9, 2551, 505, 1628, 3555, 500, 0},
	} {
		b := budgetOf(t, "1e6*(x_1^2 + x_2^2)",
			input("x_1", law.Law{Kind: law.Normal, Centre: tt.x, Width: 0.005}), input("x_2", law.Law{Kind: law.Normal, Width: 0.005}))
		if tt.r != 0 {
			b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: tt.r}}
		}
		g, m := evaluated(t, b), ran(t, b, 1_000_000)
		near(t, "u, first order", g.CombinedU, tt.first, 1e-9)
		near(t, "mean", *m.Mean.Value, tt.mean, 1.5)
		near(t, "u", *m.U.Value, tt.u, 1.5)
		near(t, "shortest low", m.Shortest.Low, tt.low, 16)
		near(t, "shortest high", m.Shortest.High, tt.high, 16)
		if tt.r != 0 {
			if g.Second.U.Value != nil || g.Second.U.Reason == "" {
				t.Error("second order of correlated inputs")
			}
			continue
		}
		near(t, "u, second order", *g.Second.U.Value, tt.second, 0.5)
		near(t, "shift", *g.Second.Shift.Value, 50, 1e-9) // 2u², exactly
	}
	// Closed forms: the exponential distribution of mean 50 ends at −50·ln 0.05.
	b := budgetOf(t, "1e6*(x_1^2 + x_2^2)", input("x_1", law.Law{Kind: law.Normal, Width: 0.005}), input("x_2", law.Law{Kind: law.Normal, Width: 0.005}))
	m := ran(t, b, 1_000_000)
	near(t, "shortest high", m.Shortest.High, 149.79, 0.6)
	near(t, "low", m.Symmetric.Low, -50*math.Log(0.975), 4*m.LowU)
	near(t, "high", m.Symmetric.High, -50*math.Log(0.025), 4*m.HighU)
}

// JCGM 101:2008 9.5, the gauge block of GUM H.1, in nm: published u = 36, shortest 95 % interval [768, 908] and, from memory,
// 99 % [745, 932]. Analytic check of u: the variances add to 1279, JCGM 101 with its t and curvilinear distributions.
func TestGaugeBlock(t *testing.T) {
	const excess = 50_000_000
	b := budgetOf(t, "L_S + D + d_1 + d_2 - L_S*(δα*(θ_0 + Δ) + α_S*δθ) - 50000000",
		input("L_S", law.Law{Kind: law.Student, Centre: excess + 623, Width: 25, Shape: 18}),
		input("D", law.Law{Kind: law.Student, Centre: 215, Width: 6, Shape: 24}),
		input("d_1", law.Law{Kind: law.Student, Width: 4, Shape: 5}),
		input("d_2", law.Law{Kind: law.Student, Width: 7, Shape: 8}),
		input("α_S", law.Law{Kind: law.Rectangular, Centre: 11.5e-6, Width: 2e-6}),
		input("θ_0", law.Law{Kind: law.Normal, Centre: -0.1, Width: 0.2}),
		input("Δ", law.Law{Kind: law.Arcsine, Width: 0.5}),
		input("δα", law.Law{Kind: law.CurvilinearTrapezoidal, Width: 1e-6, Shape: 0.1e-6}),
		input("δθ", law.Law{Kind: law.CurvilinearTrapezoidal, Width: 0.05, Shape: 0.025}))
	m := ran(t, b, 4_000_000)
	near(t, "mean", *m.Mean.Value, 838, 0.1)
	near(t, "u", *m.U.Value, math.Sqrt(1279), 0.15)
	near(t, "shortest 95 % low", m.Shortest.Low, 768, 1.5)
	near(t, "shortest 95 % high", m.Shortest.High, 908, 1.5)
	near(t, "symmetric 95 % low", m.Symmetric.Low, 768, 1)
	near(t, "symmetric 95 % high", m.Symmetric.High, 908, 1)
	wide, err := prepared(t, b).Run(montecarlo.Options{Trials: 4_000_000, Seed: 2, Probability: 0.99, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "shortest 99 % low", wide.Shortest.Low, 745, 1.5)
	near(t, "shortest 99 % high", wide.Shortest.High, 932, 1.5)
}
