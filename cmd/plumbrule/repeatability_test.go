package main

import "testing"

// The study of 20 parts, 3 operators and 2 trials: Montgomery and Runger (1993), Quality Engineering 6, 289-305, as printed
// there and in Montgomery, Design and Analysis of Experiments, chapter on random effects (figures from memory, confirmed by
// recomputing). The test verifies that the figures reach the JSON in their places.
func TestRepeatabilityPublished(t *testing.T) {
	out := inJSON(t, "repeatability", "--csv", "../../rules/published/data/gauge-20x3x2.csv", "--part", "part", "--operator", "operator", "--value", "y")
	for name, want := range map[string]any{"parts": 20.0, "operators": 3.0, "trials": 2.0, "model": "without-interaction"} {
		if out[name] != want {
			t.Errorf("%s is %v, want %v", name, out[name], want)
		}
	}
	object := func(of map[string]any, path ...string) map[string]any {
		for _, p := range path {
			of = of[p].(map[string]any)
		}
		return of
	}
	models := out["models"].([]any)
	full, pooled := models[0].(map[string]any), models[1].(map[string]any)
	for i, row := range []struct {
		source    string
		ss, ms, f float64
		df        float64
	}{
		{"part", 1185.425, 62.391, 87.65, 19},
		{"operator", 2.617, 1.308, 1.84, 2},
		{"interaction", 27.050, 0.712, 0.718, 38},
		{"repeatability", 59.500, 0.992, 0, 60},
		{"total", 1274.592, 0, 0, 119},
	} {
		got := full["table"].([]any)[i].(map[string]any)
		if got["source"] != row.source || got["df"] != row.df {
			t.Errorf("row %d is %v, %v", i, got["source"], got["df"])
		}
		near(t, got, "ss", row.ss, 3)
		if row.ms > 0 {
			near(t, got, "ms", row.ms, 3)
		}
		if row.f > 0 {
			near(t, got, "f", row.f, 2)
		}
	}
	for name, want := range map[string]float64{"part": 10.2798, "operator": 0.0149, "interaction": -0.1399, "repeatability": 0.9917} {
		near(t, object(full, "components", name), "estimate", want, 4)
	}
	for _, of := range []map[string]any{out, pooled} {
		for name, want := range map[string]float64{"part": 10.2513, "operator": 0.0106, "repeatability": 0.8832} {
			near(t, object(of, "components", name), "variance", want, 4)
		}
		near(t, object(of, "components", "gauge"), "sd", 0.9454, 4)
	}
	// Exact limits with 98 degrees of freedom, √(86.55/χ²), χ² = 127.282 and 72.501 as tables print it.
	near(t, object(out, "components", "repeatability"), "lower", 0.8246, 4)
	near(t, object(out, "components", "repeatability"), "upper", 1.0926, 4)
	if why := object(out, "components", "interaction", "reasons")["sd"]; why == nil || why == "" {
		t.Error("no reason why there is no interaction in the model chosen")
	}
}
