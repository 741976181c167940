package main

import (
	"math"
	"testing"
)

const samples = "../../rules/published/data/"

func off(got any, want float64) float64 {
	number, is := got.(float64)
	if !is {
		return math.Inf(1)
	}
	return math.Abs(number - want)
}

// NIST Statistical Reference Datasets, univariate: the certified values, through the file and the JSON. A double cannot hold
// the decimal values of NumAcc4, which leaves 8 digits of its spread.
func TestSummaryCertified(t *testing.T) {
	for _, c := range []struct {
		file           string
		n              float64
		mean, sd, lag1 float64
		ofSD           float64 // relative
	}{
		{"numacc2.csv", 1001, 1.2, 0.1, -0.999, 1e-13},
		{"numacc4.csv", 1001, 10000000.2, 0.1, -0.999, 1e-8},
		{"lew.csv", 200, -177.435, 277.332168044316, -0.307304800605679, 1e-13},
		{"lottery.csv", 218, 518.958715596330, 291.699727470969, -0.120948622967393, 1e-13},
		{"pidigits.csv", 5000, 4.53480000000000, 2.86733906028871, -0.00355099287237972, 1e-13},
	} {
		got := inJSON(t, "summary", "--csv", samples+c.file, "--column", "y")
		if got["n"] != c.n || off(got["mean"], c.mean) > 1e-14*math.Abs(c.mean)+5e-13 || off(got["sd"], c.sd) > c.ofSD*c.sd+5e-13 || off(got["lag1"], c.lag1) > 1e-8 {
			t.Errorf("%s: n %v, mean %v, sd %v, lag1 %v", c.file, got["n"], got["mean"], got["sd"], got["lag1"])
		}
	}
}

// Rosner (1983) as in e-Handbook 1.3.5.17.3: three outliers among 54 values, found although the first two are each within
// their critical values. The first step is also the test of Grubbs (1969) for one.
func TestSummaryOutliersPublished(t *testing.T) {
	got := inJSON(t, "summary", "--csv", samples+"rosner.csv", "--column", "y", "--outliers", "10")
	steps := got["rosner"].([]any)
	for i, want := range [][2]float64{
		{3.118906, 3.158794},
		{2.942973, 3.151430},
		{3.179424, 3.143890},
		{2.810181, 3.136165},
		{2.815580, 3.128247},
		{2.848172, 3.120128},
		{2.279327, 3.111796},
		{2.310366, 3.103243},
		{2.101581, 3.094456},
		{2.067178, 3.085425},
	} {
		step := steps[i].(map[string]any)
		if off(step["statistic"], want[0]) > 5e-7 || off(step["critical"], want[1]) > 5e-7 || step["outlier"] != (i < 3) {
			t.Errorf("step %d: %v, want %v", i+1, step, want)
		}
	}
	outlier := got["outlier"].(map[string]any)
	if got["rosner_outliers"] != 3.0 || len(steps) != 10 || outlier["value"] != 6.01 || outlier["index"] != 54.0 || outlier["rejected"] != false {
		t.Errorf("%v outliers of %d steps, %v", got["rosner_outliers"], len(steps), outlier)
	}
}
