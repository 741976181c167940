package chart_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

// NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k 0.3175 and h 4.1959 in the
// unit of the data, σ of a mean 0.635. Printed sums are rounded to two decimals,
// ties either way.
func TestSumsOfTheHandbook(t *testing.T) {
	s := chart.Settings{Given: &chart.Given{Centre: 325, Sigma: 0.635}, Reference: 0.3175 / 0.635, Decision: 4.1959 / 0.635}
	c, err := chart.CUSUM(column(t, "cusum-handbook.csv", "x"), s)
	c = must(t, c, err)
	high, low := column(t, "cusum-handbook.csv", "s_hi_published"), column(t, "cusum-handbook.csv", "s_lo_published")
	exactHigh, exactLow := column(t, "cusum-handbook.csv", "s_hi_recomputed"), column(t, "cusum-handbook.csv", "s_lo_recomputed")
	for i, p := range c.Points {
		near(t, "upper sum", p.High, high[i], 0.0051)
		near(t, "lower sum", p.Low, low[i], 0.0051)
		near(t, "upper sum", p.High, exactHigh[i], 1e-9)
		near(t, "lower sum", p.Low, exactLow[i], 1e-9)
	}
	near(t, "decision", c.Current().Limits.Upper, 4.1959, 1e-12)
	near(t, "decision", c.Current().Limits.Lower, -4.1959, 1e-12)
	if diff := cmp.Diff([]int{14, 15, 16, 17, 18, 19, 20}, signals(c, chart.HighSum)); diff != "" {
		t.Errorf("upper signals (want, got):\n%s", diff)
	}
	if got := signals(c, chart.LowSum); got != nil {
		t.Errorf("lower signals at %v", got)
	}
	if diff := cmp.Diff([]int{13, 14}, c.Points[13].Signals[0].Points); diff != "" {
		t.Errorf("points since the upper sum was 0 (want, got):\n%s", diff)
	}
}

// Worked by hand with k 0.5, h 5 and a head start of 2.5.
func TestSumsWithHeadStart(t *testing.T) {
	s := chart.Settings{Given: &chart.Given{Sigma: 1}, HeadStart: 2.5, Restart: []int{3}}
	c, err := chart.CUSUM([]float64{-2.5, -1.5, 0.5, 3.5, -4, 0.25}, s)
	c = must(t, c, err)
	var got [][2]float64
	for _, p := range c.Points {
		got = append(got, [2]float64{p.High, p.Low})
	}
	want := [][2]float64{{0, 4.5}, {0, 5.5}, {0, 4.5}, {5.5, 0}, {1, 3.5}, {0.75, 2.75}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("sums (want, got):\n%s", diff)
	}
	if diff := cmp.Diff([]chart.Signal{{Test: chart.LowSum, Points: []int{1, 2}}}, c.Points[1].Signals); diff != "" {
		t.Errorf("second point (want, got):\n%s", diff)
	}
	if diff := cmp.Diff([]chart.Signal{{Test: chart.HighSum, Points: []int{4}}}, c.Points[3].Signals); diff != "" {
		t.Errorf("fourth point (want, got):\n%s", diff)
	}
	if words := c.Points[3].Signals[0].Words(); words != "the upper cumulative sum, above 0 for 1 point, is beyond the decision value" {
		t.Errorf("words %q", words)
	}
	if words := c.Points[1].Signals[0].Words(); words != "the lower cumulative sum, above 0 for 2 points, is beyond the decision value" {
		t.Errorf("words %q", words)
	}
	if c.Signalling() != 2 {
		t.Errorf("%d points signal, want 2", c.Signalling())
	}
}

func TestSumsOfDegenerateData(t *testing.T) {
	for name, values := range map[string][]float64{"one": {3}, "constant": {3, 3, 3}} {
		c, err := chart.CUSUM(values, chart.Settings{HeadStart: 2})
		c = must(t, c, err)
		for _, p := range c.Points {
			if p.Limits != nil || p.High != 0 || p.Low != 0 || len(p.Signals) != 0 {
				t.Errorf("%s: %+v, want no sums", name, p)
			}
		}
		if len(c.Warnings) != 1 {
			t.Errorf("%s: warnings %v", name, c.Warnings)
		}
	}
	// 0.8 - 0.1 - 0.7 is above 0 in binary: the sum is at 0 all the same, and 5 on
	// the decision value is not beyond it.
	c, err := chart.CUSUM([]float64{0.8, 5.8}, chart.Settings{Given: &chart.Given{Centre: 0.1, Sigma: 1}, Reference: 0.7, Decision: 5})
	c = must(t, c, err)
	if c.Points[0].High != 0 || c.Signalling() != 0 {
		t.Errorf("points %+v, want an upper sum of 0 and no signal", c.Points)
	}
}
