package propagation_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"plumbrule/rules/budget/propagation"
)

// JCGM 100:2008 (GUM) H.1, end gauge of 50 mm by comparison, in nm; the parts of the difference rounded as H.1.3.2 prints
// them. Published u_c = 32, ν_eff = 16, U99 = 93 from rounded figures; those here are recomputed without rounding.
func TestGUMH1(t *testing.T) {
	const l = 50_000_623
	delta := rectangular("δα", 0, 1e-6)
	delta.DegreesOfFreedom = 50
	theta := rectangular("δθ", 0, 0.05)
	theta.DegreesOfFreedom = 2
	b := budgetOf(t, "l_S + d + d_1 + d_2 - l_S*(δα*θ + α_S*δθ)",
		input("l_S", l, 25, 18), input("d", 215, 5.8, 24), input("d_1", 0, 3.9, 5), input("d_2", 0, 6.7, 8),
		rectangular("α_S", 11.5e-6, 2e-6), input("θ", -0.1, math.Hypot(0.2, 0.5/math.Sqrt2), infinite), delta, theta)
	b.Coverage.Probability = 0.99
	r := evaluate(t, b)
	near(t, "l", r.Value, 50_000_838, 1e-6)
	near(t, "u_c", r.CombinedU, 31.664, 5e-4)
	figureNear(t, "ν_eff", r.EffectiveDOF, 16.75, 5e-3)
	figureNear(t, "ν used", r.UsedDOF, 16, 0)
	figureNear(t, "k", r.CoverageFactor, 2.9208, 5e-5)
	figureNear(t, "U99", r.ExpandedU, 92.48, 5e-3)
	near(t, "sensitivity to δα", r.Components[6].Sensitivity, l*0.1, 1e-6)
	near(t, "sensitivity to δθ", r.Components[7].Sensitivity, -l*11.5e-6, 1e-9)
	near(t, "part of δα", r.Components[6].Contribution, 2.9, 0.05)
	near(t, "part of δθ", r.Components[7].Contribution, 16.6, 0.05)
	// Second order, H.1.7: published 34.
	figureNear(t, "u_c, second order", r.Second.U, 33.807, 5e-4)
	if n := len(r.Second.Terms); n < 2 || r.Second.Terms[0].A != 5 || r.Second.Terms[0].B != 6 || r.Second.Terms[1].A != 4 || r.Second.Terms[1].B != 7 {
		t.Fatalf("terms %+v", r.Second.Terms)
	}
	near(t, "l_S·u(δα)·u(θ)", r.Second.Terms[0].Contribution, 11.726, 5e-4)
	near(t, "l_S·u(α_S)·u(δθ)", r.Second.Terms[1].Contribution, 1.667, 5e-4)
	if len(r.Notes) != 1 || r.Notes[0].Code != propagation.NoteSecondOrder {
		t.Errorf("notes %+v", r.Notes)
	}
	b.Order = 2
	r = evaluate(t, b)
	near(t, "u_c", r.CombinedU, 33.807, 5e-4)
	figureNear(t, "U99 with t99(16)", r.ExpandedU, 98.7, 0.06)
	sum := 0.0
	for _, c := range r.Components {
		sum += c.Share
	}
	for _, term := range r.Second.Terms {
		sum += term.Share
	}
	near(t, "sum of the shares", sum, 1, 1e-12)
}

// JCGM 100:2008 H.2, resistance and reactance from five sets of readings; to the digits of our own recomputation, which
// agrees with the published table.
func TestGUMH2(t *testing.T) {
	inputs := []propagation.Input{
		readings("V", "sets", 5.007, 4.994, 5.005, 4.990, 4.999),
		readings("I", "sets", 19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3),
		readings("φ", "sets", 1.0456, 1.0438, 1.0468, 1.0428, 1.0433),
	}
	for _, tt := range []struct{ text, value, u, without, mean, ofMeans string }{
		{"V*cos(φ)/I", "127.73217", "0.071071", "0.19454", "127.73163", "0.071274"},
		{"V*sin(φ)/I", "219.84651", "0.295582", "0.20091", "219.84689", "0.295489"},
		{"V/I + 0*φ", "254.25970", "0.236336", "0.20408", "254.26005", "0.236248"},
	} {
		b := budgetOf(t, tt.text, inputs...)
		r := evaluate(t, b)
		printed(t, tt.text, r.Value, tt.value)
		printed(t, "u of "+tt.text, r.CombinedU, tt.u)
		figureNear(t, "ν_eff", r.EffectiveDOF, 4, 1e-9) // one mean of five values of the measurand, to first order
		if len(r.Sets) != 1 || r.Sets[0].Readings != 5 {
			t.Fatalf("sets %+v", r.Sets)
		}
		printed(t, "second approach", *r.Sets[0].Mean.Value, tt.mean)
		printed(t, "u of the second approach", *r.Sets[0].U.Value, tt.ofMeans)
		apart := append([]propagation.Input(nil), inputs...)
		for i := range apart {
			apart[i].Set = ""
		}
		printed(t, "u without correlations", evaluate(t, budgetOf(t, tt.text, apart...)).CombinedU, tt.without)
		sum := 0.0
		for _, c := range r.Components {
			sum += c.Share
		}
		near(t, "sum of the shares", sum, 1, 1e-12)
	}
	matrix, _, err := budgetOf(t, "V*I*φ", inputs...).Matrix()
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "r(V, I)", matrix[0][1], "-0.35531")
	printed(t, "r(V, φ)", matrix[0][2], "0.85762")
	printed(t, "r(I, φ)", matrix[1][2], "-0.64511")
	// The same coefficients stated, with the degrees of freedom left finite: no ν_eff is backed.
	for i := range inputs {
		inputs[i].Set = ""
	}
	b := budgetOf(t, "V*cos(φ)/I", inputs...)
	b.Correlations = []propagation.Correlation{{A: 0, B: 1, Coefficient: matrix[0][1]}, {A: 2, B: 0, Coefficient: matrix[0][2]}, {A: 1, B: 2, Coefficient: matrix[1][2]}}
	r := evaluate(t, b)
	printed(t, "u from stated coefficients", r.CombinedU, "0.071071")
	if r.EffectiveDOF.Value != nil || r.ExpandedU.Value != nil || r.CoverageFactor.Value != nil || !strings.Contains(r.ExpandedU.Reason, "state k") {
		t.Errorf("ν_eff %+v, U %+v", r.EffectiveDOF, r.ExpandedU)
	}
	b.Coverage = propagation.Coverage{Factor: 2}
	r = evaluate(t, b)
	if r.CoverageProbability.Value != nil || r.CoverageProbability.Reason == "" || *r.ExpandedU.Value != 2*r.CombinedU {
		t.Errorf("probability %+v, U %+v", r.CoverageProbability, r.ExpandedU)
	}
}

// printed compares with a figure to the digits it was printed with.
func printed(t *testing.T, what string, got float64, want string) {
	t.Helper()
	_, decimals, _ := strings.Cut(want, ".")
	if text := fmt.Sprintf("%.*f", len(decimals), got); text != want {
		t.Errorf("%s = %s, want %s", what, text, want)
	}
}

// EA-4/02 M:2022, examples S2 (weight of 10 kg, mg), S4 (gauge block of 50 mm, nm) and S10 (caliper at 150 mm, µm).
func TestEA402(t *testing.T) {
	s2 := budgetOf(t, "m_S + δm_D + δm + δm_C + δB",
		input("m_S", 5, 45.0/2, infinite), rectangular("δm_D", 0, 15), input("δm", 20, 25/math.Sqrt(3), infinite), rectangular("δm_C", 0, 10), rectangular("δB", 0, 10))
	s2.Coverage = propagation.Coverage{Factor: 2}
	r := evaluate(t, s2)
	near(t, "S2 u", r.CombinedU, 29.262, 5e-4) // published 29.3
	figureNear(t, "S2 U", r.ExpandedU, 58.5, 0.05)
	near(t, "S2 value", r.Value, 25, 0)

	triangular := input("δα", 0, 2e-6/math.Sqrt(6), infinite)
	s4 := budgetOf(t, "l_S + δl_D + δl + δl_C - L*(α*δt + δα*Δt) - δl_V",
		input("l_S", 20, 15, infinite), rectangular("δl_D", 0, 30), input("δl", -94, 12/math.Sqrt(5), infinite), rectangular("δl_C", 0, 32),
		input("L", 50e6, 0, infinite), input("α", 11.5e-6, 0, infinite), rectangular("δt", 0, 0.05), triangular, rectangular("Δt", 0, 0.5), rectangular("δl_V", 0, 6.7))
	s4.Coverage, s4.Order = propagation.Coverage{Factor: 2}, 2
	r = evaluate(t, s4)
	near(t, "S4 value", r.Value, -74, 1e-9)
	near(t, "S4 u", r.CombinedU, 36.394, 5e-4) // published 36.4
	figureNear(t, "S4 U", r.ExpandedU, 72.8, 0.05)
	near(t, "S4 product of zero means", r.Second.Terms[0].Contribution, 11.785, 5e-4) // published 11.8
	near(t, "S4 temperature", r.Components[6].Contribution, 16.599, 5e-4)

	s10 := budgetOf(t, "δl_S + δl_T + δl_i + δl_M", rectangular("δl_S", 0, 0.8), rectangular("δl_T", 0, 3.45), rectangular("δl_i", 0, 25), rectangular("δl_M", 0, 50))
	r = evaluate(t, s10)
	near(t, "S10 u", r.CombinedU, 32.340, 5e-4) // published 0.033 mm
	if len(r.Notes) != 1 || r.Notes[0].Code != propagation.NoteDominant || !strings.Contains(r.Notes[0].Text, "k = 1.83") {
		t.Errorf("notes %+v", r.Notes)
	}
	s10.Coverage.Law = propagation.ByTrapezoidal
	r = evaluate(t, s10)
	figureNear(t, "S10 k", r.CoverageFactor, 1.83389, 5e-6) // published 1.83
	figureNear(t, "S10 U", r.ExpandedU, 59.2, 0.12)         // published 0.06 mm, from 1.83 · 0.0323
	// One alone: EA-4/02 S9, k = 1.65 by the rectangle.
	s9 := budgetOf(t, "a + b", rectangular("a", 0, 10), rectangular("b", 0, 1))
	s9.Coverage.Law = propagation.ByRectangle
	figureNear(t, "S9 k", evaluate(t, s9).CoverageFactor, 1.6454, 5e-5)
}
