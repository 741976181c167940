package main

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// printedColumn returns the numbers below a header of a file in testdata/published, by the command line read below.
func printedColumn(t *testing.T, file, column string) []float64 {
	t.Helper()
	f, err := os.Open("testdata/published/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []float64
	for i, name := range rows[0] {
		if name != column {
			continue
		}
		for _, row := range rows[1:] {
			v, err := strconv.ParseFloat(row[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, v)
		}
	}
	if len(out) == 0 {
		t.Fatalf("%s has no column %q", file, column)
	}
	return out
}

func chartOf(t *testing.T, file, column string, flags ...string) (chart map[string]any, points []map[string]any) {
	t.Helper()
	chart = inJSON(t, append([]string{"-C", "testdata/published", "chart", "--csv", file, "--column", column}, flags...)...)
	for _, p := range chart["points"].([]any) {
		points = append(points, p.(map[string]any))
	}
	return chart, points
}

func close64(t *testing.T, what string, got any, want, tolerance float64) {
	t.Helper()
	v, ok := got.(float64)
	if !ok || math.Abs(v-want) > tolerance {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// signalled returns the numbers of the points that carry a test.
func signalled(points []map[string]any, test string) (out []int) {
	for _, p := range points {
		for _, s := range p["signals"].([]any) {
			if s == test {
				out = append(out, int(p["n"].(float64)))
			}
		}
	}
	return out
}

// NIST/SEMATECH e-Handbook 6.3.2.4: weight 0.3, target 50, sigma 2.0539; limits 52.5884 and 47.4115, of which the lower is
// from the rounded factor 0.4201; no signal.
func TestChartEWMAHandbook(t *testing.T) {
	chart, points := chartOf(t, "ewma-handbook.csv", "x", "--kind", "ewma", "--weight", "0.3", "--target", "50", "--sd", "2.0539")
	close64(t, "upper", chart["upper"], 52.5884, 0.5e-4)
	close64(t, "lower", chart["lower"], 47.4115, 1e-4)
	close64(t, "centre", chart["centre"], 50, 0)
	close64(t, "target", chart["target"], 50, 0)
	for i, z := range printedColumn(t, "ewma-handbook.csv", "z_published") {
		close64(t, "average", points[i]["statistic"], z, 0.0050001)
	}
	// The exact limits of the first point: 3 · 2.0539 · 0.3 either side.
	close64(t, "upper of point 1", points[0]["upper"], 50+3*2.0539*0.3, 1e-9)
	if got := signalled(points, "point-beyond"); len(points) != 20 || got != nil {
		t.Errorf("%d points, signals at %v", len(points), got)
	}
}

// NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k = 0.3175, h = 4.1959 with sigma 0.635; sums are printed to two decimals,
// ties either way. Groups 14 to 20 signal.
func TestChartCUSUMHandbook(t *testing.T) {
	chart, points := chartOf(t, "cusum-handbook.csv", "x", "--kind", "cusum", "--target", "325", "--sd", "0.635",
		"--reference", "0.5", "--decision", strconv.FormatFloat(4.1959/0.635, 'g', -1, 64))
	close64(t, "upper", chart["upper"], 4.1959, 1e-9)
	close64(t, "lower", chart["lower"], -4.1959, 1e-9)
	close64(t, "target", chart["target"], 325, 0)
	close64(t, "sigma", chart["sigma"], 0.635, 0)
	high, low := printedColumn(t, "cusum-handbook.csv", "s_hi_published"), printedColumn(t, "cusum-handbook.csv", "s_lo_published")
	for i := range high {
		close64(t, "upper sum", points[i]["high"], high[i], 0.0051)
		close64(t, "lower sum", points[i]["low"], low[i], 0.0051)
	}
	got := signalled(points, "high-sum")
	if len(got) != 7 || got[0] != 14 || got[6] != 20 || signalled(points, "low-sum") != nil {
		t.Errorf("upper sum signals at %v, lower at %v", got, signalled(points, "low-sum"))
	}
}

// Montgomery, Introduction to Statistical Quality Control, 2nd edition, pages 206-213, as in the documentation of the R
// package qcc: limits of phase 1 (25 samples); samples 37 to 39 are beyond. With printed constants the range's upper limit is
// 0.0481257 to 0.0481374.
func TestChartPistonRings(t *testing.T) {
	for _, c := range []struct {
		kind                                       string
		centre, lower, upper, sigma, spread, above float64
		tolerance, rangeTolerance                  float64
	}{
		{"mean-range", 74.00118, 73.98805, 74.01430, 0.009785039, 0.02276, 0.04812533, 0.5e-5, 2e-5},
		{"mean-sd", 74.001176, 73.987988, 74.014364, 0.009829977, 0.009240037, 0.01930242, 0.5e-6, 0.5e-8},
	} {
		chart, points := chartOf(t, "pistonrings.csv", "diameter_mm", "--group", "sample", "--kind", c.kind, "--baseline", "25")
		close64(t, c.kind+" centre", chart["centre"], c.centre, c.tolerance)
		close64(t, c.kind+" lower", chart["lower"], c.lower, c.tolerance)
		close64(t, c.kind+" upper", chart["upper"], c.upper, c.tolerance)
		// The published sigma is that of a single ring, with d2 to four digits.
		close64(t, c.kind+" sigma", chart["sigma"], c.sigma, 5e-7)
		spread := chart["range"].(map[string]any)
		close64(t, c.kind+" centre of the dispersion", spread["centre"], c.spread, 0.5e-8)
		close64(t, c.kind+" upper limit of the dispersion", spread["upper"], c.above, c.rangeTolerance)
		close64(t, c.kind+" lower limit of the dispersion", spread["lower"], 0, 0)
		if got := signalled(points, "point-beyond"); len(got) != 3 || got[0] != 37 || got[2] != 39 {
			t.Errorf("%s: beyond at %v", c.kind, got)
		}
	}
}
