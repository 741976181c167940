package chart_test

import (
	"math"
	"strings"
	"testing"

	"plumbrule/rules/chart"
)

// flowRate is the example of the NIST/SEMATECH e-Handbook 6.3.2.2.
var flowRate = []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tolerance)
	}
}

func TestFlowRateExample(t *testing.T) {
	c, err := chart.Individuals(flowRate, chart.Settings{Tests: chart.Nelson()})
	if err != nil {
		t.Fatal(err)
	}
	s := c.Current()
	// Printed in the handbook: half a unit of the last digit.
	near(t, "mean", s.Limits.Centre, 50.81, 0.005)
	near(t, "mean moving range", s.Range.Centre, 1.8778, 0.00005)
	// The printed limits divide by 1.128 instead of the exact 1.128379.
	printed, err := chart.Individuals(flowRate, chart.Settings{Given: &chart.Given{Centre: s.Limits.Centre, Sigma: s.Range.Centre / 1.128}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "printed upper", printed.Current().Limits.Upper, 55.8041, 0.00005)
	near(t, "printed lower", printed.Current().Limits.Lower, 45.8159, 0.00005)
	// Recomputed with the exact 2/√π.
	near(t, "upper", s.Limits.Upper, 55.802412, 5e-7)
	near(t, "lower", s.Limits.Lower, 45.817588, 5e-7)
	near(t, "range upper", s.Range.Upper, 6.133821, 5e-7)
	near(t, "range lower", s.Range.Lower, 0, 0)
	near(t, "sigma", s.Limits.Sigma, 1.8777777777777778*math.Sqrt(math.Pi)/2, 1e-12)
	for i, want := range []float64{2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5} {
		near(t, "moving range", c.Range[i].Value, want, 1e-12)
		if c.Range[i].N != i+2 {
			t.Errorf("moving range %d belongs to point %d, want %d", i, c.Range[i].N, i+2)
		}
	}
	if c.Signalling() != 0 || c.RangeSignalling() != 0 || len(c.Warnings) != 0 || s.Provisional {
		t.Errorf("want no signal and no warning, got %d, %d, %v", c.Signalling(), c.RangeSignalling(), c.Warnings)
	}
}

func TestBaselineSetsLimitsForLaterPoints(t *testing.T) {
	values := append(append([]float64{}, flowRate...), 60, 50)
	c, err := chart.Individuals(values, chart.Settings{Baseline: 10, Tests: chart.Tests{PointBeyond: true}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "upper", c.Current().Limits.Upper, 55.802412, 5e-7)
	if got := signals(c, chart.PointBeyond); len(got) != 1 || got[0] != 11 {
		t.Errorf("points beyond: %v, want 11", got)
	}
	// Moving ranges 7.9 and 10 exceed the upper limit of 6.13.
	if c.RangeSignalling() != 2 {
		t.Errorf("%d moving ranges signal, want 2", c.RangeSignalling())
	}
}

// NumAcc4 of the NIST Statistical Reference Datasets (univariate): 10000000.2,
// then 10000000.1 and 10000000.3 in turn; certified mean 10000000.2, to the
// last bit but one that a double can hold.
func TestMeanOfOffsetData(t *testing.T) {
	values := []float64{10000000.2}
	for range 500 {
		values = append(values, 10000000.1, 10000000.3)
	}
	c, err := chart.Individuals(values, chart.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", c.Current().Limits.Centre, 10000000.2, 2e-9)
}

func TestShortAndDegenerateBaselines(t *testing.T) {
	for _, test := range []struct {
		name     string
		values   []float64
		settings chart.Settings
		codes    string
		says     string // in the first warning
		limits   bool
	}{
		{"one point", []float64{3}, chart.Settings{}, "no-limits", "at least 2 points", false},
		{"last segment of one point", []float64{1, 2, 4, 3, 5, 7, 6, 8, 3}, chart.Settings{Restart: []int{8}}, "no-limits", "segment 2 (point 9): no limits", false},
		{"constant", []float64{0.3, 0.3, 0.3}, chart.Settings{}, "no-spread", "all have the value 0.3", false},
		{"constant but for rounding", []float64{0.3, 0.30000000000000004, 0.3}, chart.Settings{}, "no-spread", "3 baseline points", false},
		{"constant baseline, others differ", []float64{1, 1, 9}, chart.Settings{Baseline: 2}, "no-spread", "no limits", false},
		// P(next beyond) for five points: 0.05198.
		{"five points", []float64{1.11, 2.53, 1.72, 3.34, 0.95}, chart.Settings{}, "short-baseline", "at least 5.2 %", true},
		{"eight points are enough", []float64{1.1, 2.5, 1.7, 3.3, 0.9, 2, 1, 4}, chart.Settings{}, "", "", true},
		{"a settable minimum", []float64{1.1, 2.5, 1.7, 3.3, 0.9, 2, 1, 4}, chart.Settings{Minimum: 20}, "short-baseline", "fewer than 20", true},
		{"an open baseline", []float64{1.1, 2.5, 1.7, 3.3, 0.9, 2, 1, 4}, chart.Settings{Baseline: 20}, "open-baseline", "8 of 20", true},
		{"three values only", []float64{1, 2, 3, 1, 2, 2, 1, 3}, chart.Settings{}, "coarse-resolution", "3 different values", true},
		{"step above sigma", []float64{1, 1, 2, 2, 3, 3, 4, 4, 5}, chart.Settings{}, "coarse-resolution", "5 different values, at least 1 apart", true},
		{"a drift without ties", []float64{1, 2, 3, 4, 5, 6, 7, 8}, chart.Settings{}, "", "", true},
		{"given, so nothing to warn of", []float64{1}, chart.Settings{Given: &chart.Given{Centre: 0, Sigma: 1}}, "", "", true},
	} {
		t.Run(test.name, func(t *testing.T) {
			c, err := chart.Individuals(test.values, test.settings)
			if err != nil {
				t.Fatal(err)
			}
			var codes []string
			for _, w := range c.Warnings {
				codes = append(codes, string(w.Code))
			}
			if got := strings.Join(codes, " "); got != test.codes {
				t.Errorf("warnings %q, want %q: %v", got, test.codes, c.Warnings)
			} else if got != "" && !strings.Contains(c.Warnings[0].Sentence, test.says) {
				t.Errorf("sentence %q lacks %q", c.Warnings[0].Sentence, test.says)
			}
			s := c.Current()
			last := c.Points[len(c.Points)-1]
			if (s.Limits != nil) != test.limits || (s.Range != nil) != test.limits || (last.Limits != nil) != test.limits {
				t.Errorf("limits %v %v %v, want them: %v", s.Limits, s.Range, last.Limits, test.limits)
			}
			if want := strings.HasPrefix(test.codes, "short") || strings.HasPrefix(test.codes, "open"); s.Provisional != want {
				t.Errorf("provisional %v, want %v", s.Provisional, want)
			}
		})
	}
}

func TestRefused(t *testing.T) {
	for _, test := range []struct {
		name     string
		values   []float64
		settings chart.Settings
		says     string
	}{
		{"nothing", nil, chart.Settings{}, "no values"},
		{"not a number", []float64{1, math.NaN()}, chart.Settings{}, "NaN at index 1"},
		{"infinite", []float64{math.Inf(-1), 1}, chart.Settings{}, "-Inf at index 0"},
		{"other kind", []float64{1, 2}, chart.Settings{Kind: "ewma"}, `"ewma"; expected "individuals"`},
		{"baseline of one", []float64{1, 2}, chart.Settings{Baseline: 1}, "baseline of 1"},
		{"negative baseline", []float64{1, 2}, chart.Settings{Baseline: -3}, "baseline of -3"},
		{"negative minimum", []float64{1, 2}, chart.Settings{Minimum: -1}, "minimum baseline"},
		{"restart after the end", []float64{1, 2}, chart.Settings{Restart: []int{2}}, "restart at index 2"},
		{"restarts out of order", []float64{1, 2, 3}, chart.Settings{Restart: []int{2, 1}}, "restart at index 1"},
		{"negative restart", []float64{1, 2}, chart.Settings{Restart: []int{-1}}, "restart at index -1"},
		{"given sigma of 0", []float64{1, 2}, chart.Settings{Given: &chart.Given{}}, "sigma 0"},
		{"given centre unknown", []float64{1, 2}, chart.Settings{Given: &chart.Given{Centre: math.NaN(), Sigma: 1}}, "centre NaN"},
		{"run of one", []float64{1, 2}, chart.Settings{Tests: chart.Tests{SameSide: 1}}, "same-side"},
		{"trend of two", []float64{1, 2}, chart.Settings{Tests: chart.Tests{Trend: 2}}, "trend"},
		{"overflowing range", []float64{1e308, -1e308}, chart.Settings{}, "too large"},
		{"overflowing sum", []float64{1e308, 1.1e308, 1.2e308}, chart.Settings{}, "too large"},
	} {
		t.Run(test.name, func(t *testing.T) {
			c, err := chart.Individuals(test.values, test.settings)
			if err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("error %v, want one saying %q (chart %+v)", err, test.says, c)
			}
		})
	}
}

func BenchmarkIndividuals(b *testing.B) {
	values := make([]float64, 100_000)
	for i := range values {
		values[i] = math.Sin(float64(i)) + math.Sin(float64(i)*0.7)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := chart.Individuals(values, chart.Settings{Baseline: 50, Tests: chart.Nelson()}); err != nil {
			b.Fatal(err)
		}
	}
}
