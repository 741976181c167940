package chart_test

import (
	"fmt"
	"testing"

	"plumbrule/rules/chart"
)

// Lucas and Saccucci 1990, Technometrics 32, 1-12, table 3 (fixed limits, from the help of the R package spc 0.6.7, λ 0.5 with
// L 3.071 and λ 0.03 with L 2.437), and the values of that package to three decimals.
func TestRunLengthsOfLucasAndSaccucci(t *testing.T) {
	agrees(t, "run length of averages")
	for _, row := range []struct{ shift, half, small float64 }{
		{0, 499.906, 499.859},
		{0.25, 254.785, 76.726},
		{0.5, 88.795, 29.321},
		{0.75, 35.913, 17.634},
		{1, 17.477, 12.598},
		{1.5, 6.526, 8.068},
		{2, 3.628, 5.987},
		{2.5, 2.497, 4.797},
		{3, 1.926, 4.029},
		{3.5, 1.577, 3.490},
		{4, 1.336, 3.109},
		{5, 1.073, 2.553},
	} {
		near(t, fmt.Sprintf("λ 0.5 at %v", row.shift), runLength(t, fixed(0.5, 3.071), row.shift), row.half, 0.0005)
		near(t, fmt.Sprintf("λ 0.03 at %v", row.shift), runLength(t, fixed(0.03, 2.437), row.shift), row.small, 0.0005)
	}
}

func fixed(weight, width float64) chart.Scheme {
	return chart.Scheme{Kind: chart.KindEWMA, Weight: weight, Width: width, Fixed: true}
}

// The designs most used, with fixed limits (R package spc 0.6.7, xewma.arl);
// their in-control values are about 500 in the table above.
func TestRunLengthsOfCommonAverages(t *testing.T) {
	designs := []chart.Scheme{
		fixed(0.40, 3.054), fixed(0.25, 2.998), fixed(0.20, 2.962), fixed(0.10, 2.814),
		fixed(0.05, 2.615), fixed(0.20, 3.000), fixed(0.10, 2.700),
	}
	for _, row := range []struct {
		shift float64
		want  [7]float64
	}{
		{0, [7]float64{499.951, 499.836, 499.735, 499.580, 499.933, 559.874, 368.994}},
		{0.5, [7]float64{71.201, 48.294, 41.764, 31.297, 28.764, 44.127, 28.191}},
		{1, [7]float64{14.263, 11.136, 10.542, 10.331, 11.383, 10.836, 9.730}},
		{2, [7]float64{3.522, 3.614, 3.743, 4.362, 5.225, 3.801, 4.179}},
		{3, [7]float64{2.019, 2.258, 2.381, 2.868, 3.496, 2.408, 2.759}},
	} {
		for i, s := range designs {
			near(t, fmt.Sprintf("λ %v, L %v at %v", s.Weight, s.Width, row.shift), runLength(t, s, row.shift), row.want[i], 0.0005)
		}
	}
	// With a weight of 1 every value stands for itself.
	near(t, "λ 1", runLength(t, fixed(1, 3), 0), 370.398, 0.0005)
}

// With the exact limits of each point (R package spc 0.6.7, limits "vacl").
func TestRunLengthsOfExactLimits(t *testing.T) {
	for _, row := range []struct{ shift, tenth, fifth float64 }{
		{0, 356.095, 554.488}, {0.5, 25.328, 42.712}, {1, 7.541, 9.857}, {2, 2.495, 2.917},
	} {
		near(t, fmt.Sprintf("λ 0.1 at %v", row.shift), runLength(t, chart.Scheme{Kind: chart.KindEWMA, Weight: 0.1, Width: 2.7}, row.shift), row.tenth, 0.0005)
		near(t, fmt.Sprintf("λ 0.2 at %v", row.shift), runLength(t, chart.Scheme{Kind: chart.KindEWMA}, row.shift), row.fifth, 0.0005)
	}
	near(t, "λ 1", runLength(t, chart.Scheme{Kind: chart.KindEWMA, Weight: 1}, 1), 43.895, 0.0005)
}

// Lucas and Crosier 1982, Technometrics 24, 199-205, table 1 (h of 4 without and with a head start of h/2, from the help of
// the R package spc 0.6.7); for h of 5 the textbook table (from memory); and the values of that package.
func TestRunLengthsOfSums(t *testing.T) {
	agrees(t, "run length of sums")
	for _, row := range []struct{ shift, four, fourFast, five, fiveFast float64 }{
		{0, 167.684, 148.696, 465.444, 430.391},
		{0.25, 74.224, 62.698, 139.494, 121.688},
		{0.5, 26.630, 20.064, 37.996, 28.666},
		{0.75, 13.285, 8.968, 17.048, 11.236},
		{1, 8.383, 5.287, 10.376, 6.347},
		{1.5, 4.747, 2.862, 5.747, 3.372},
		{2, 3.343, 2.014, 4.009, 2.362},
		{2.5, 2.620, 1.586, 3.114, 1.856},
		{3, 2.194, 1.325, 2.573, 1.540},
		{4, 1.708, 1.067, 2.013, 1.159},
		{5, 1.309, 1.006, 1.694, 1.023},
	} {
		for _, c := range []struct{ decision, start, want float64 }{{4, 0, row.four}, {4, 2, row.fourFast}, {5, 0, row.five}, {5, 2.5, row.fiveFast}} {
			got := runLength(t, chart.Scheme{Kind: chart.KindCUSUM, Decision: c.decision, HeadStart: c.start}, row.shift)
			near(t, fmt.Sprintf("h %v, head start %v at %v", c.decision, c.start, row.shift), got, c.want, 0.0005)
		}
	}
	// Siegmund 1985: one side is (exp(-2Δb) + 2Δb - 1)/(2Δ²) with b = h + 1.166
	// and Δ = shift - k; two sides at rest for h of 4: 169.047.
	near(t, "Siegmund", runLength(t, chart.Scheme{Kind: chart.KindCUSUM, Decision: 4}, 0), 169.047, 2)
}

func BenchmarkRunLength(b *testing.B) {
	for name, s := range map[string]chart.Scheme{
		"individuals": {Tests: chart.Tests{PointBeyond: true, SameSide: 9, TwoOfThree: true, FourOfFive: true}},
		"all eight":   {Tests: chart.Nelson()},
		"ewma":        {Kind: chart.KindEWMA},
		"slow ewma":   {Kind: chart.KindEWMA, Weight: 0.01},
		"cusum":       {Kind: chart.KindCUSUM, HeadStart: 2.5},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := chart.RunLength(s, 0); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
