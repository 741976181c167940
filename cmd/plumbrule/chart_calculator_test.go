package main

import (
	"math"
	"testing"
)

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2: mean 50.81, mean moving range 1.8778, limits 55.8041 and
// 45.8159 with the printed d2 = 1.128; the exact 2/√π gives 55.80241 and 45.81759. No point signals.
func TestChartFlowRate(t *testing.T) {
	got := inJSON(t, "-C", "testdata/examples", "chart", "--csv", "flow.csv", "--column", "x")
	ranges := got["range"].(map[string]any)
	for _, c := range []struct {
		name            string
		got             any
		want, tolerance float64
	}{
		{"centre", got["centre"], 50.81, 1e-12},
		{"upper, published", got["upper"], 55.8041, 0.0018}, // d2 to four digits
		{"lower, published", got["lower"], 45.8159, 0.0018},
		{"upper", got["upper"], 55.80241, 0.5e-5},
		{"lower", got["lower"], 45.81759, 0.5e-5},
		{"range centre", ranges["centre"], 1.8778, 0.5e-4},
		{"range upper, published", ranges["upper"], 6.1347, 0.001}, // D4 = 3.267
		{"range lower", ranges["lower"], 0, 0},
	} {
		if math.Abs(c.got.(float64)-c.want) > c.tolerance {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	moving := []float64{2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5}
	for i, p := range ranges["points"].([]any) {
		point := p.(map[string]any)
		if math.Abs(point["value"].(float64)-moving[i]) > 1e-9 || point["n"] != float64(i+2) {
			t.Errorf("moving range %d: %v", i, point)
		}
	}
	if n := len(got["points"].([]any)); n != 10 || len(got["signal_details"].([]any)) != 0 {
		t.Errorf("%d points, signals %v", n, got["signal_details"])
	}
	for _, p := range got["points"].([]any) {
		if signals := p.(map[string]any)["signals"].([]any); len(signals) != 0 {
			t.Errorf("%v signals", p)
		}
	}
	for _, name := range []string{"kind", "sigma", "warnings", "reasons", "baseline", "provisional"} {
		if _, ok := got[name]; !ok {
			t.Errorf("no %s", name)
		}
	}
}
