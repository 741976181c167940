package chart_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

// NIST/SEMATECH e-Handbook 6.3.2.4: λ 0.3, start 50, σ 2.0539, L 3; averages to
// two decimals, limits 52.5884 and 47.4115 (47.411568: printed from a rounded
// factor). The limits of each point were computed in another program.
func TestAverageOfTheHandbook(t *testing.T) {
	s := chart.Settings{Weight: 0.3, Given: &chart.Given{Centre: 50, Sigma: 2.0539}}
	c, err := chart.EWMA(column(t, "ewma-handbook.csv", "x"), s)
	c = must(t, c, err)
	near(t, "upper", c.Current().Limits.Upper, 52.5884, 5e-5)
	near(t, "lower", c.Current().Limits.Lower, 47.4115, 1e-4)
	printed, recomputed := column(t, "ewma-handbook.csv", "z_published"), column(t, "ewma-handbook.csv", "z_recomputed")
	lower, upper := column(t, "ewma-handbook.csv", "lcl_time_varying"), column(t, "ewma-handbook.csv", "ucl_time_varying")
	for i, p := range c.Points {
		near(t, "average", p.Statistic, printed[i], 0.0051)
		near(t, "average", p.Statistic, recomputed[i], 5.1e-7)
		near(t, "lower", p.Limits.Lower, lower[i], 5.1e-7)
		near(t, "upper", p.Limits.Upper, upper[i], 5.1e-7)
	}
	if c.Signalling() != 0 || len(c.Range) != 0 || len(c.Warnings) != 0 {
		t.Errorf("%d signals, %d ranges, warnings %v", c.Signalling(), len(c.Range), c.Warnings)
	}
}

func TestAverageSignalsAndSettles(t *testing.T) {
	// With λ 0.2 and L 3 the first limit is 0.6, the one approached 1: a value
	// of 3.1 gives an average of 0.62 at once, but 0.496 and within at the next.
	values := append([]float64{3.1, 0}, make([]float64, 200)...)
	c, err := chart.EWMA(values, chart.Settings{Given: &chart.Given{Sigma: 1}})
	c = must(t, c, err)
	if diff := cmp.Diff([]int{1}, signals(c, chart.PointBeyond)); diff != "" {
		t.Errorf("signals (want, got):\n%s", diff)
	}
	near(t, "first limit", c.Points[0].Limits.Upper, 0.6, 1e-12)
	near(t, "last limit", c.Points[200].Limits.Upper, 1, 1e-15)
	if c.Points[200].Limits != c.Current().Limits {
		t.Error("the limits have not settled after 200 points")
	}
	// With a weight of 1 the average is the value, the limits those of single values.
	c, err = chart.EWMA(flowRate, chart.Settings{Weight: 1})
	c = must(t, c, err)
	single, err := chart.Individuals(flowRate, chart.Settings{})
	single = must(t, single, err)
	for i, p := range c.Points {
		near(t, "average", p.Statistic, flowRate[i], 1e-12)
		near(t, "upper", p.Limits.Upper, single.Points[i].Limits.Upper, 1e-12)
	}
	c, err = chart.EWMA([]float64{1, 1}, chart.Settings{Width: 2, Given: &chart.Given{Sigma: 1}})
	c = must(t, c, err)
	near(t, "two deviations of the average", c.Points[0].Limits.Upper, 0.4, 1e-12)
	// On the limit is not beyond it.
	c, err = chart.EWMA([]float64{3}, chart.Settings{Given: &chart.Given{Sigma: 1}})
	if c = must(t, c, err); c.Signalling() != 0 {
		t.Error("an average on its limit signals")
	}
}

func TestAverageBeginsAnew(t *testing.T) {
	values := []float64{1, 2, 1.5, 1, 2.5, 101, 102, 101.5, 103}
	c, err := chart.EWMA(values, chart.Settings{Restart: []int{5}})
	c = must(t, c, err)
	second, err := chart.EWMA(values[5:], chart.Settings{})
	second = must(t, second, err)
	for i, p := range second.Points {
		near(t, "average", c.Points[5+i].Statistic, p.Statistic, 0)
		near(t, "upper", c.Points[5+i].Limits.Upper, p.Limits.Upper, 0)
	}
	near(t, "first of the second", c.Points[5].Statistic, 0.2*101+0.8*101.875, 1e-12)
}

func TestAverageOfDegenerateData(t *testing.T) {
	for name, values := range map[string][]float64{"one": {3}, "constant": {3, 3, 3}} {
		c, err := chart.EWMA(values, chart.Settings{})
		c = must(t, c, err)
		for _, p := range c.Points {
			if p.Limits != nil || p.Statistic != 3 || len(p.Signals) != 0 {
				t.Errorf("%s: %+v, want an average of 3 without limits", name, p)
			}
		}
		if len(c.Warnings) != 1 || c.Current().Limits != nil {
			t.Errorf("%s: warnings %v, limits %v", name, c.Warnings, c.Current().Limits)
		}
	}
	// The sample standard deviation of 1, 2, 4 is √(7/3).
	c, err := chart.EWMA([]float64{1, 2, 4}, chart.Settings{Spread: chart.SpreadDeviation})
	c = must(t, c, err)
	near(t, "sigma", c.Current().Limits.Sigma, math.Sqrt(7.0/3/9), 1e-12)
}
