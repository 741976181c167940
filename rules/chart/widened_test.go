package chart_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"plumbrule/rules/chart"
)

// half returns the half-width of the limits of the values.
func half(t *testing.T, c chart.Chart, err error) float64 {
	t.Helper()
	l := must(t, c, err).Current().Limits
	near(t, "symmetry", l.Upper-l.Centre, l.Centre-l.Lower, 1e-9)
	return l.Upper - l.Centre
}

// Factors on s for a false-alarm probability of 0.0027, t(0.99865; m-1) times
// √(1+1/m), computed with the t distribution of another program (setting of
// Yang and Hillier 1970, J. Quality Technology 2, 9-16).
func TestWidenedIndividualsFromDeviation(t *testing.T) {
	for m, want := range map[int]float64{
		3: 22.1772, 5: 7.2519, 8: 4.8047, 10: 4.2940, 15: 3.7550, 20: 3.5323, 25: 3.4110, 30: 3.3346, 50: 3.1919, 100: 3.0929,
	} {
		c, err := chart.Individuals(noise(m), chart.Settings{Spread: chart.SpreadDeviation, Widened: true})
		near(t, fmt.Sprintf("factor of %d", m), half(t, c, err)/c.Current().Limits.Sigma, want, 5e-5)
	}
}

// Factors on the mean moving range, from simulation in another program, about
// ±0.01 (±0.02 at m of 5, whose tail is long), and one by another way: ranges
// of two values are the standard deviation times √2, so that at m of 2 the
// factor is t(0.99865; 1)·√(1+1/2)/√2.
func TestWidenedIndividualsFromMovingRange(t *testing.T) {
	for m, want := range map[int]float64{
		2: math.Tan(math.Pi*0.49865) * math.Sqrt(1.5) / math.Sqrt2, 5: 7.06, 10: 4.17, 15: 3.57, 20: 3.30, 25: 3.16, 30: 3.07,
	} {
		c, err := chart.Individuals(noise(m), chart.Settings{Widened: true})
		near(t, fmt.Sprintf("factor of %d", m), half(t, c, err)/c.Current().Range.Centre, want, 0.021)
	}
	// Long baselines approach three sigma, and the change of method at 100
	// values leaves no visible step.
	factor := func(m int) float64 {
		c, err := chart.Individuals(noise(m), chart.Settings{Widened: true})
		return half(t, c, err) / c.Current().Limits.Sigma
	}
	near(t, "100 and 101", factor(100)-factor(101), 0, 0.0015)
	near(t, "many", factor(100_000), 3, 0.0002)
}

// Second-stage factors on the mean range, by exact distribution, in the setting
// of Hillier 1969, J. Quality Technology 1, 17-26, computed in another program.
func TestWidenedMeansFromRange(t *testing.T) {
	for n, factors := range map[int]map[int]float64{
		2: {5: 3.6934, 10: 2.5908, 25: 2.1298},
		3: {5: 1.4627, 10: 1.2202, 25: 1.0974},
		4: {5: 0.9482, 10: 0.8312, 25: 0.7681},
		5: {1: 1.7152, 2: 0.9912, 3: 0.8292, 5: 0.7184, 10: 0.6444, 15: 0.6212, 20: 0.6099, 25: 0.6031},
	} {
		for m, want := range factors {
			c, err := chart.MeanRange(slices.Collect(slices.Chunk(noise(n*m), n)), chart.Settings{Widened: true})
			// 0.60985 at n 5, m 20 was rounded up, hence a whole unit.
			near(t, fmt.Sprintf("factor of %d times %d", m, n), half(t, c, err)/c.Current().Range.Centre, want, 6e-5)
		}
	}
}

// Second-stage factors on the pooled s, t(0.99865; m(n-1))·√((m+1)/(mn)), from
// another program (Yang and Hillier 1970).
func TestWidenedMeansFromDeviation(t *testing.T) {
	for n, factors := range map[int]map[int]float64{
		5: {5: 1.6765, 10: 1.5003, 25: 1.4032},
		3: {5: 2.5026, 10: 2.0722, 25: 1.8589},
	} {
		for m, want := range factors {
			samples := slices.Collect(slices.Chunk(noise(n*m), n))
			squares := 0.0
			for _, s := range samples {
				centre := 0.0
				for _, v := range s {
					centre += v / float64(n)
				}
				for _, v := range s {
					squares += (v - centre) * (v - centre)
				}
			}
			c, err := chart.MeanDeviation(samples, chart.Settings{Widened: true})
			near(t, fmt.Sprintf("factor of %d times %d", m, n), half(t, c, err)/math.Sqrt(squares/float64(m*(n-1))), want, 5e-5)
		}
	}
}

// The limits of a mean widen with its size as √(1/n + 1/N).
func TestWidenedMeansOfUnequalSamples(t *testing.T) {
	samples := [][]float64{{1, 3}, {2, 3, 7}, {4, 5}, {0, 2, 4, 3.5, 1}}
	for _, compute := range []func([][]float64, chart.Settings) (chart.Chart, error){chart.MeanRange, chart.MeanDeviation} {
		c, err := compute(samples, chart.Settings{Widened: true})
		c = must(t, c, err)
		usual, err := compute(samples, chart.Settings{})
		usual = must(t, usual, err)
		unit := (c.Points[0].Limits.Upper - c.Points[0].Limits.Centre) / math.Sqrt(1.0/2+1.0/12)
		for i, p := range c.Points {
			near(t, "half-width", p.Limits.Upper-p.Limits.Centre, unit*math.Sqrt(1/float64(len(samples[i]))+1.0/12), 1e-12)
			near(t, "sigma stays", p.Limits.Sigma, usual.Points[i].Limits.Sigma, 0)
			near(t, "dispersion stays", c.Range[i].Limits.Upper, usual.Range[i].Limits.Upper, 0)
		}
		twos, err := compute(samples[:1], chart.Settings{Widened: true})
		// t(0.99865; 1) times s = √2 times √(1/2 + 1/2).
		near(t, "one sample of two", half(t, twos, err), math.Tan(math.Pi*0.49865)*math.Sqrt2, 1e-6)
	}
}

// What the warnings say of a short baseline and of degenerate data.
func TestWarningsOfEachKind(t *testing.T) {
	values := []float64{1.11, 2.53, 1.72, 3.34, 0.95}
	for _, test := range []struct {
		name     string
		kind     chart.Kind
		settings chart.Settings
		says     string
	}{
		// P(next beyond) from Student's t and, for moving ranges, as a lower bound.
		{"moving range", chart.KindIndividuals, chart.Settings{}, "they rest on 5 points, fewer than 8; a three-sigma limit estimated from 5 points raises a false alarm at the next point with a probability of at least 5.2 %, not the intended 0.27 %"},
		{"deviation", chart.KindIndividuals, chart.Settings{Spread: chart.SpreadDeviation}, "with a probability of 5.2 %, not"},
		{"widened", chart.KindIndividuals, chart.Settings{Widened: true}, "with the intended probability of 0.27 %"},
		// Three million simulated baselines gave 0.01939 and 0.01928, standard error 0.00008.
		{"range", chart.KindMeanRange, chart.Settings{}, "they rest on 5 samples (15 readings), fewer than 8; a three-sigma limit estimated from them raises a false alarm at the next mean of 3 with a probability of 1.9 %, not the intended 0.27 %"},
		{"s", chart.KindMeanDeviation, chart.Settings{}, "at the next mean of 3 with a probability of 1.9 %, not"},
		// Off by 1/√5 = 0.447 sigma; see the average run lengths of these schemes.
		{"average", chart.KindEWMA, chart.Settings{}, "a centre estimated from 5 points is off by 0.45 sigma (root mean square), and so far off a process in control raises a false alarm every 56 points on average once the limits have settled, not every 560"},
		{"slow average", chart.KindEWMA, chart.Settings{Weight: 0.01}, "is off by 0.45 sigma on average"},
		{"sums", chart.KindCUSUM, chart.Settings{}, "raises a false alarm every 48 points on average, not every 465"},
	} {
		c, err := made(test.kind, values, test.settings)
		c = must(t, c, err)
		if len(c.Warnings) != 1 || c.Warnings[0].Code != chart.ShortBaseline || !strings.Contains(c.Warnings[0].Sentence, test.says) || !c.Current().Provisional {
			t.Errorf("%s: %+v, want one saying %q", test.name, c.Warnings, test.says)
		}
	}
	for _, kind := range []chart.Kind{chart.KindMeanRange, chart.KindMeanDeviation} {
		f := chart.MeanRange
		if kind == chart.KindMeanDeviation {
			f = chart.MeanDeviation
		}
		for name, test := range map[string]struct {
			samples [][]float64
			code    chart.Code
			says    string
		}{
			// Student's t of one degree of freedom: 1 - 2/π·atan(3/√2·√(π/2)).
			"one sample": {[][]float64{{1.1, 2.2}}, chart.ShortBaseline, "they rest on 1 sample (2 readings), fewer than 8; a three-sigma limit estimated from them raises a false alarm at the next mean of 2 with a probability of 23 %"},
			"no spread":  {[][]float64{{1, 1}, {2, 2}}, chart.NoSpread, "within each of the 2 baseline samples do not differ"},
			"coarse":     {slices.Repeat([][]float64{{1, 2}, {2, 2}, {1, 1}}, 4), chart.CoarseResolution, "the 24 baseline readings take 2 different values"},
		} {
			c, err := f(test.samples, chart.Settings{})
			c = must(t, c, err)
			if len(c.Warnings) != 1 || c.Warnings[0].Code != test.code || !strings.Contains(c.Warnings[0].Sentence, test.says) {
				t.Errorf("%s, %s: %+v, want one saying %q", kind, name, c.Warnings, test.says)
			}
			if (c.Current().Limits == nil) != (test.code == chart.NoSpread) {
				t.Errorf("%s, %s: limits %v", kind, name, c.Current().Limits)
			}
		}
	}
	for _, kind := range []chart.Kind{chart.KindEWMA, chart.KindCUSUM} {
		if _, err := made(kind, values, chart.Settings{Widened: true}); err == nil || !strings.Contains(err.Error(), "take a longer baseline or give centre and sigma") {
			t.Errorf("%s: widened limits gave %v", kind, err)
		}
	}
	if _, err := chart.Individuals(values, chart.Settings{Spread: "range"}); err == nil || !strings.Contains(err.Error(), `spread "range"; expected "moving-range"`) {
		t.Errorf("an unknown spread gave %v", err)
	}
}
