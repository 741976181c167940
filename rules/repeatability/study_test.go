package repeatability_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"plumbrule/rules/published"
	"plumbrule/rules/repeatability"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

func value(t *testing.T, what string, f repeatability.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Errorf("%s is absent: %s", what, f.Reason)
		return math.NaN()
	}
	return *f.Value
}

func missing(t *testing.T, what string, f repeatability.Figure) {
	t.Helper()
	if f.Value != nil || f.Reason == "" {
		t.Errorf("%s: want a reason and no value, got %v, %q", what, f.Value, f.Reason)
	}
}

func readings(t *testing.T, file string) []repeatability.Reading {
	t.Helper()
	lines, err := published.Table(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []repeatability.Reading
	for _, l := range lines[1:] {
		v, err := strconv.ParseFloat(l[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, repeatability.Reading{Part: l[0], Operator: l[1], Value: v})
	}
	return out
}

// line is a printed row; a negative figure is not printed.
type line struct {
	source      repeatability.Source
	ss          float64
	df          int
	ms, f, p    float64
	ssTol, fTol float64
}

func compare(t *testing.T, m *repeatability.Model, lines []line) {
	t.Helper()
	if len(m.Table) != len(lines) {
		t.Fatalf("%d rows, want %d", len(m.Table), len(lines))
	}
	for i, want := range lines {
		got := m.Table[i]
		name := string(m.Name) + " " + string(want.source)
		if got.Source != want.source || got.DegreesOfFreedom != want.df {
			t.Errorf("%s: got %s with %d df, want %d", name, got.Source, got.DegreesOfFreedom, want.df)
		}
		near(t, name+" SS", got.SumOfSquares, want.ss, want.ssTol)
		if want.ms >= 0 {
			near(t, name+" MS", value(t, name+" MS", got.MeanSquare), want.ms, want.ssTol)
		}
		if want.f >= 0 {
			near(t, name+" F", value(t, name+" F", got.F), want.f, want.fTol)
		} else {
			missing(t, name+" F", got.F)
		}
		if want.p >= 0 {
			near(t, name+" p", value(t, name+" p", got.P), want.p, 5e-5)
		}
	}
}

func variances(t *testing.T, m *repeatability.Model, tolerance float64, want map[repeatability.Source]float64) {
	t.Helper()
	for source, v := range want {
		near(t, string(source), value(t, string(source), m.Component(source).Estimate), v, tolerance)
	}
}

// Montgomery and Runger (1993), 20 parts, 3 operators, 2 trials; printed to three decimals, variances to four.
func TestTwentyParts(t *testing.T) {
	list := readings(t, "gauge-20x3x2.csv")
	slices.Reverse(list) // the order of the readings does not matter
	r, err := repeatability.Study(list, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Parts != 20 || r.Operators != 3 || r.Trials != 2 || len(r.Models) != 2 || r.Chosen != r.Models[1] {
		t.Fatalf("got %+v", r)
	}
	full, pooled := r.Models[0], r.Models[1]
	const half = 0.0005
	compare(t, full, []line{
		{repeatability.Part, 1185.425, 19, 62.391, 87.65, -1, half, 0.005},
		{repeatability.Operator, 2.617, 2, 1.308, 1.84, -1, half, 0.005},
		{repeatability.Interaction, 27.050, 38, 0.712, 0.718, 0.8614, half, half},
		{repeatability.Repeatability, 59.500, 60, 0.992, -1, -1, half, 0},
		{repeatability.Total, 1274.592, 119, -1, -1, -1, half, 0},
	})
	variances(t, full, 5e-5, map[repeatability.Source]float64{
		repeatability.Part: 10.2798, repeatability.Operator: 0.0149, repeatability.Interaction: -0.1399, repeatability.Repeatability: 0.9917,
	})
	interaction := full.Component(repeatability.Interaction)
	near(t, "negative component", value(t, "negative component", interaction.Variance), 0, 0)
	if len(full.Notes) != 1 || !strings.Contains(full.Notes[0], "part-operator variance is negative, -0.1399, and counts as 0") {
		t.Errorf("notes %q", full.Notes)
	}
	// What is used adds up what is used: 0.0149 + 0 + 0.9917.
	near(t, "gauge", value(t, "gauge", full.Component(repeatability.Gauge).Variance), 1.0066, 5e-5)
	near(t, "gauge estimate", value(t, "gauge estimate", full.Component(repeatability.Gauge).Estimate), 0.8667, 5e-5)

	if pooled.Table[2].DegreesOfFreedom != 98 {
		t.Errorf("pooled df %d, want 98", pooled.Table[2].DegreesOfFreedom)
	}
	variances(t, pooled, 5e-5, map[repeatability.Source]float64{
		repeatability.Part: 10.2513, repeatability.Operator: 0.0106, repeatability.Repeatability: 0.8832,
	})
	near(t, "gauge sd", value(t, "gauge sd", pooled.Component(repeatability.Gauge).SD), 0.9454, 5e-5)
	missing(t, "interaction", pooled.Component(repeatability.Interaction).Variance)
	// 1.41 · √(10.2513/0.8938) = 4.78.
	near(t, "categories", value(t, "categories", pooled.Categories), 4, 0)
}

// Houf and Berman (1988), 10 parts, 3 operators, 3 trials. Table and components as printed in Montgomery, Introduction to
// Statistical Quality Control (2005), the limits as in Burdick, Borror and Montgomery (2005): both from memory, counted
// because they agree. Tolerance 18 … 58 from there too.
func TestTenParts(t *testing.T) {
	r, err := repeatability.Study(readings(t, "gauge-10x3x3.csv"), repeatability.Settings{Tolerance: 40})
	if err != nil {
		t.Fatal(err)
	}
	m := r.Chosen
	if m.Name != repeatability.WithInteraction {
		t.Fatalf("chosen %s", m.Name)
	}
	compare(t, m, []line{
		{repeatability.Part, 3935.96, 9, 437.328, 162.27, 0, 0.005, 0.005},
		{repeatability.Operator, 39.27, 2, 19.633, 7.28, 0.0048, 0.005, 0.005},
		{repeatability.Interaction, 48.51, 18, 2.695, 5.27, 0, 0.005, 0.005},
		{repeatability.Repeatability, 30.67, 60, 0.511, -1, -1, 0.005, 0},
		{repeatability.Total, 4054.40, 89, -1, -1, -1, 0.005, 0},
	})
	variances(t, m, 5e-5, map[repeatability.Source]float64{
		repeatability.Part: 48.2926, repeatability.Operator: 0.5646, repeatability.Interaction: 0.7280, repeatability.Repeatability: 0.5111,
		repeatability.Reproducibility: 1.2926, repeatability.Gauge: 1.8037, repeatability.Total: 50.0963,
	})
	part, gauge := m.Component(repeatability.Part), m.Component(repeatability.Gauge)
	near(t, "part lower", math.Pow(value(t, "part lower", part.SDLower), 2), 22.69, 0.005)
	near(t, "part upper", math.Pow(value(t, "part upper", part.SDUpper), 2), 161.64, 0.005)
	near(t, "gauge upper", math.Pow(value(t, "gauge upper", gauge.SDUpper), 2), 27.02, 0.005)
	near(t, "share of tolerance", value(t, "share of tolerance", gauge.ShareOfTolerance), 0.20, 0.005)
	near(t, "share of variance", value(t, "share of variance", gauge.ShareOfVariance), 1.8037/50.0963, 5e-6)
	near(t, "share of study", value(t, "share of study", gauge.ShareOfStudy), math.Sqrt(1.8037/50.0963), 5e-6)
	near(t, "categories", value(t, "categories", m.Categories), 7, 0)
}

// By hand: means 2, 5, 8; SS 36 and 4; F = 18/(4/3); with 2 and 3 degrees of freedom p = (1 + 2F/3)^(−3/2).
func TestOneOperatorByHand(t *testing.T) {
	r, err := repeatability.StudyTable([][][]float64{{{1, 3}}, {{4, 6}}, {{8, 8}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	m := r.Chosen
	compare(t, m, []line{
		{repeatability.Part, 36, 2, 18, 13.5, math.Pow(10, -1.5), 1e-12, 1e-12},
		{repeatability.Repeatability, 4, 3, 4.0 / 3, -1, -1, 1e-12, 0},
		{repeatability.Total, 40, 5, -1, -1, -1, 1e-12, 0},
	})
	variances(t, m, 1e-12, map[repeatability.Source]float64{
		repeatability.Part: 25.0 / 3, repeatability.Repeatability: 4.0 / 3, repeatability.Gauge: 4.0 / 3,
	})
	near(t, "categories", value(t, "categories", m.Categories), 3, 0) // 1.41 · 2.5
	missing(t, "reproducibility", m.Component(repeatability.Reproducibility).SD)
	missing(t, "share of tolerance", m.Component(repeatability.Gauge).ShareOfTolerance)
	// Exact limits: χ² with 3 degrees of freedom, 9.348 and 0.216 in any table.
	rep := m.Component(repeatability.Repeatability)
	near(t, "lower", 4/math.Pow(value(t, "lower", rep.SDLower), 2), 9.348, 0.0005)
	near(t, "upper", 4/math.Pow(value(t, "upper", rep.SDUpper), 2), 0.216, 0.0005)
	if len(r.Notes) != 1 || !strings.HasPrefix(r.Notes[0], "One operator:") {
		t.Errorf("notes %q", r.Notes)
	}
}

// By hand: cell means 2, 6, 9, 15; F with 1 and 1 degrees of freedom has p = 1 − (2/π)·atan √F, with 1 and 4 and F = 4/3
// p = 1 − sin 30°·(1 + cos² 30°/2).
func TestTwoOperatorsByHand(t *testing.T) {
	r, err := repeatability.StudyTable([][][]float64{{{1, 3}, {5, 7}}, {{9, 9}, {14, 16}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	compare(t, r.Models[0], []line{
		{repeatability.Part, 128, 1, 128, 64, 1 - 2/math.Pi*math.Atan(8), 1e-12, 1e-12},
		{repeatability.Operator, 50, 1, 50, 25, 1 - 2/math.Pi*math.Atan(5), 1e-12, 1e-12},
		{repeatability.Interaction, 2, 1, 2, 4.0 / 3, 0.3125, 1e-12, 1e-12},
		{repeatability.Repeatability, 6, 4, 1.5, -1, -1, 1e-12, 0},
		{repeatability.Total, 186, 7, -1, -1, -1, 1e-12, 0},
	})
	variances(t, r.Models[0], 1e-12, map[repeatability.Source]float64{
		repeatability.Part: 31.5, repeatability.Operator: 12, repeatability.Interaction: 0.25, repeatability.Repeatability: 1.5,
		repeatability.Reproducibility: 12.25, repeatability.Gauge: 13.75, repeatability.Total: 45.25,
	})
	variances(t, r.Models[1], 1e-12, map[repeatability.Source]float64{
		repeatability.Part: 31.6, repeatability.Operator: 12.1, repeatability.Repeatability: 1.6, repeatability.Gauge: 13.7,
	})
	if r.Chosen != r.Models[1] {
		t.Error("p = 0.3125 is above 0.25: want the interaction pooled")
	}
	kept, err := repeatability.StudyTable([][][]float64{{{1, 3}, {5, 7}}, {{9, 9}, {14, 16}}}, repeatability.Settings{PoolAbove: 0.32})
	if err != nil {
		t.Fatal(err)
	}
	if kept.Chosen != kept.Models[0] {
		t.Error("p = 0.3125 is not above 0.32: want the interaction kept")
	}
	near(t, "mean", r.Mean, 8, 1e-12)
}

// By hand: 1, 4 / 3, 8: parts 9, operators 16, rest 1, each with one degree of freedom.
func TestOneTrial(t *testing.T) {
	r, err := repeatability.StudyTable([][][]float64{{{1}, {4}}, {{3}, {8}}}, repeatability.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	compare(t, r.Chosen, []line{
		{repeatability.Part, 9, 1, 9, 9, 1 - 2/math.Pi*math.Atan(3), 1e-12, 1e-12},
		{repeatability.Operator, 16, 1, 16, 16, 1 - 2/math.Pi*math.Atan(4), 1e-12, 1e-12},
		{repeatability.Repeatability, 1, 1, 1, -1, -1, 1e-12, 0},
		{repeatability.Total, 26, 3, -1, -1, -1, 1e-12, 0},
	})
	if len(r.Models) != 1 || !strings.HasPrefix(r.Notes[0], "One trial: the interaction") {
		t.Errorf("got %d models, notes %q", len(r.Models), r.Notes)
	}
	missing(t, "interaction", r.Chosen.Component(repeatability.Interaction).SD)
}
