package chart_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

// pistonRings are the 40 samples of five in pistonrings.csv of the published data, of which
// the first 25 are the baseline.
func pistonRings(t *testing.T) [][]float64 {
	t.Helper()
	var columns [][]float64
	for _, name := range []string{"x1_mm", "x2_mm", "x3_mm", "x4_mm", "x5_mm"} {
		columns = append(columns, column(t, "pistonrings.csv", name))
	}
	samples := make([][]float64, 40)
	for i := range samples {
		for _, c := range columns {
			samples[i] = append(samples[i], c[i])
		}
	}
	return samples
}

// Montgomery, Introduction to Statistical Quality Control, 2nd ed., 206-213, as
// computed in the documentation of the R package qcc, which divides by a d2 of
// 2.326; hence tolerances above half a unit where 2.325929 differs.
func TestPistonRings(t *testing.T) {
	s := chart.Settings{Baseline: 25, Tests: chart.Tests{PointBeyond: true}}
	c, err := chart.MeanRange(pistonRings(t), s)
	c = must(t, c, err)
	now := c.Current()
	near(t, "centre", now.Limits.Centre, 74.00118, 5e-6)
	near(t, "lower", now.Limits.Lower, 73.98805, 5e-6)
	near(t, "upper", now.Limits.Upper, 74.01430, 5e-6)
	near(t, "mean range", now.Range.Centre, 0.02276, 5e-9)
	near(t, "range lower", now.Range.Lower, 0, 0)
	near(t, "range upper", now.Range.Upper, 0.04812533, 2e-5)
	near(t, "sigma", now.Limits.Sigma*math.Sqrt(5), 0.009785039, 4e-7)
	if diff := cmp.Diff([]int{37, 38, 39}, signals(c, chart.PointBeyond)); diff != "" {
		t.Errorf("means beyond (want, got):\n%s", diff)
	}
	near(t, "mean 38", c.Points[37].Value, 74.0196, 5e-5)

	c, err = chart.MeanDeviation(pistonRings(t), s)
	c = must(t, c, err)
	now = c.Current()
	near(t, "centre", now.Limits.Centre, 74.001176, 5e-7)
	near(t, "lower", now.Limits.Lower, 73.987988, 5e-7)
	near(t, "upper", now.Limits.Upper, 74.014364, 5e-7)
	near(t, "mean deviation", now.Range.Centre, 0.009240037, 5e-10)
	near(t, "deviation upper", now.Range.Upper, 0.01930242, 5e-9)
	near(t, "deviation lower", now.Range.Lower, 0, 0)
	near(t, "sigma", now.Limits.Sigma*math.Sqrt(5), 0.009829977, 5e-10)
	if len(c.Warnings) != 0 || now.Provisional || now.Baseline != 25 || len(c.Range) != 40 {
		t.Errorf("warnings %v, segment %+v, %d deviations", c.Warnings, now, len(c.Range))
	}
}

// ISO 7870-2:2013, worked example on pages 25 to 28: means and ranges of 25
// samples of five, with and without the twelfth.
func TestMeansAndRangesOfISO7870(t *testing.T) { agrees(t, "means and ranges", "chart signals") }

// Unequal sizes, worked by hand: the factors of sizes 2 and 3 are closed forms.
func TestMeansOfUnequalSamples(t *testing.T) {
	samples := [][]float64{{1, 3}, {2, 3, 7}, {4, 5}, {0, 2, 4}}
	d2, d3 := [4]float64{2: 2 / math.Sqrt(math.Pi), 3: 3 / math.Sqrt(math.Pi)}, [4]float64{2: math.Sqrt(2 - 4/math.Pi), 3: 0.888368004}
	weight := func(n int) float64 { return d2[n] * d2[n] / (d3[n] * d3[n]) }
	sigma := (weight(2)*(2+1)/d2[2] + weight(3)*(5+4)/d2[3]) / (2*weight(2) + 2*weight(3))
	c, err := chart.MeanRange(samples, chart.Settings{})
	c = must(t, c, err)
	for i, p := range c.Points {
		n := len(samples[i])
		near(t, "centre", p.Limits.Centre, 3.1, 1e-12) // 31 over 10 readings
		near(t, "sigma", p.Limits.Sigma, sigma/math.Sqrt(float64(n)), 1e-8)
		near(t, "upper", p.Limits.Upper, 3.1+3*sigma/math.Sqrt(float64(n)), 1e-8)
		near(t, "range centre", c.Range[i].Limits.Centre, sigma*d2[n], 1e-8)
		near(t, "range upper", c.Range[i].Limits.Upper, sigma*(d2[n]+3*d3[n]), 1e-7)
	}
	if c.Current().Limits != c.Points[3].Limits || c.Points[0].Limits != c.Points[2].Limits {
		t.Error("want the limits of the last point for the segment, and one set for each size")
	}

	c4 := [4]float64{2: math.Sqrt(2 / math.Pi), 3: math.Sqrt(math.Pi) / 2}
	weight = func(n int) float64 { return c4[n] * c4[n] / (1 - c4[n]*c4[n]) }
	// Deviations √2, √7, √½ and 2.
	sigma = (weight(2)*(math.Sqrt2+math.Sqrt(0.5))/c4[2] + weight(3)*(math.Sqrt(7)+2)/c4[3]) / (2*weight(2) + 2*weight(3))
	c, err = chart.MeanDeviation(samples, chart.Settings{})
	c = must(t, c, err)
	near(t, "sigma", c.Points[1].Limits.Sigma, sigma/math.Sqrt(3), 1e-12)
	near(t, "deviation", c.Range[1].Value, math.Sqrt(7), 1e-12)
	near(t, "upper deviation", c.Range[1].Limits.Upper, sigma*(c4[3]+3*math.Sqrt(1-c4[3]*c4[3])), 1e-12)
}

// The run tests see means as they see single values.
func TestRunTestsOfMeans(t *testing.T) {
	values := noise(300)
	samples := make([][]float64, len(values))
	for i, v := range values {
		samples[i] = []float64{v - 1, v - 1, v + 1, v + 1}
	}
	single, err := chart.Individuals(values, standard(chart.Nelson()))
	single = must(t, single, err)
	means, err := chart.MeanRange(samples, chart.Settings{Given: &chart.Given{Sigma: 2}, Tests: chart.Nelson()})
	means = must(t, means, err)
	if single.Signalling() == 0 {
		t.Fatal("nothing signals")
	}
	for i := range values {
		if diff := cmp.Diff(single.Points[i].Signals, means.Points[i].Signals); diff != "" {
			t.Fatalf("point %d (single, mean):\n%s", i+1, diff)
		}
	}
}

func TestSamplesRefused(t *testing.T) {
	for _, test := range []struct {
		name    string
		samples [][]float64
		says    string
	}{
		{"none", nil, "no values"},
		{"a single reading", [][]float64{{1, 2}, {3}}, "a single reading in the sample at index 1 shows no spread within; expected at least 2 readings in each sample, or a chart of individuals"},
		{"empty", [][]float64{{1, 2}, {}}, "the sample at index 1 is empty"},
		{"not a number", [][]float64{{1, math.NaN()}}, "NaN in the sample at index 0"},
		{"too many for a range", [][]float64{make([]float64, 101)}, "101 readings in the sample at index 0; expected at most 100"},
		{"too large", [][]float64{{1e308, -1e308}}, "the readings of the sample at index 0 are too large"},
		{"too large together", [][]float64{{-1e307, -1e307, 0}, {1e307, 1e307, 9e307}, {1.1e308, 1.2e308, 1.3e308}}, "too large"},
	} {
		c, err := chart.MeanRange(test.samples, chart.Settings{})
		if err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: error %v, want one saying %q (chart %+v)", test.name, err, test.says, c)
		}
	}
	if _, err := chart.MeanDeviation([][]float64{make([]float64, 101)}, chart.Settings{}); err != nil {
		t.Errorf("101 readings have a standard deviation: %v", err)
	}
}
