package main

import "testing"

const drifts = "../../rules/published/data/"

func crossing(t *testing.T, of map[string]any, i int) map[string]any {
	t.Helper()
	all := of["crossings"].([]any)
	if i >= len(all) {
		t.Fatalf("%d crossings", len(all))
	}
	return all[i].(map[string]any)
}

func TestDriftPublished(t *testing.T) {
	for _, c := range []struct {
		source    string
		args      []string
		want      map[string]float64
		within    float64
		crossings []map[string]float64
		ofThem    float64
	}{
		{
			"Graybill and Iyer (1994); Greenwell and Schubert Kabban (2014), The R Journal 6(1): arsenic, 90 %",
			[]string{"--csv", drifts + "arsenic.csv", "--x", "actual", "--y", "measured", "--limit", "3", "--level", "0.9"},
			map[string]float64{"n": 32, "intercept": 0.104583, "slope": 0.987708, "residual_sd": 0.187478, "x_mean": 3.5},
			5e-7,
			[]map[string]float64{{"limit": 3, "estimate": 2.9314, "lower": 2.6035, "upper": 3.2587, "confidence_lower": 2.8724, "confidence_upper": 2.9898}},
			5e-5,
		},
		{
			"NIST Statistical Reference Datasets, Norris; the inverse prediction recomputed in another program",
			[]string{"--csv", drifts + "norris.csv", "--x", "x", "--y", "y", "--limit", "500"},
			map[string]float64{
				"n": 36, "intercept": -0.262323073774029, "slope": 1.00211681802045, "residual_sd": 0.884796396144373,
				"intercept_se": 0.232818234301152, "slope_se": 0.000429796848199937, "r_squared": 0.999993745883712,
			},
			1e-11,
			[]map[string]float64{{"limit": 500, "estimate": 499.205596, "lower": 497.385244, "upper": 501.026069}},
			5e-7,
		},
		{
			"made up; recomputed in another program",
			[]string{"--csv", "testdata/examples/drift.csv", "--x", "day", "--y", "error_um", "--limit", "15", "--limit", "25"},
			map[string]float64{"intercept": 1.6071429, "residual_sd": 1.0385429},
			5e-8,
			[]map[string]float64{
				{"limit": 15, "estimate": 750, "lower": 565.2464, "confidence_lower": 625.0395},
				{"limit": 25, "estimate": 1310, "lower": 1024.3149, "confidence_lower": 1056.6657},
			},
			5e-5,
		},
	} {
		got := inJSON(t, append([]string{"drift"}, c.args...)...)
		for name, want := range c.want {
			if off(got[name], want) > c.within {
				t.Errorf("%s: %s is %v, want %v", c.source, name, got[name], want)
			}
		}
		for i, all := range c.crossings {
			for name, want := range all {
				if at := crossing(t, got, i); off(at[name], want) > c.ofThem {
					t.Errorf("%s, limit %v: %s is %v, want %v", c.source, all["limit"], name, at[name], want)
				}
			}
		}
	}
}

// What supports no place has none, and says so.
func TestDriftWithoutASlope(t *testing.T) {
	got := inJSON(t, "drift", "--csv", "testdata/flat.csv", "--x", "day", "--y", "error_um", "--limit", "15")
	at := crossing(t, got, 0)
	reasons := at["reasons"].(map[string]any)
	if at["lower"] != nil || at["upper"] != nil || reasons["lower"] == "" || reasons["lower"] == nil {
		t.Errorf("%v", at)
	}
}
