package chart_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/rules/chart"
)

// A chart that grew point by point is the chart made at once, to the last bit,
// at any length on the way, and a refused point leaves no trace.
func TestGrowingEqualsRecomputing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := readings(1).Draw(t, "values")
		values = values[:min(len(values), 30)]
		kind := rapid.SampledFrom(chart.Kinds()).Draw(t, "kind")
		restart := rapid.SliceOfNDistinct(rapid.IntRange(0, len(values)-1), 0, 4, rapid.ID).Draw(t, "restart")
		slices.Sort(restart)
		s := chart.Settings{
			Kind: kind, Tests: chart.Nelson(), Restart: restart,
			Baseline: rapid.SampledFrom([]int{0, 2, 10}).Draw(t, "baseline"),
			Minimum:  rapid.SampledFrom([]int{1, 1, 1, 0}).Draw(t, "minimum"),
			Spread:   rapid.SampledFrom([]chart.Spread{"", chart.SpreadDeviation}).Draw(t, "spread"),
		}
		if rapid.Bool().Draw(t, "given") {
			s.Given = &chart.Given{Centre: 0.1, Sigma: 0.7}
		}
		named := rapid.Bool().Draw(t, "restarts named beforehand")
		samples := make([][]float64, len(values))
		for i, v := range values {
			samples[i] = []float64{v}
			if kind == chart.KindMeanRange || kind == chart.KindMeanDeviation {
				samples[i] = rapid.SliceOfN(rapid.Float64Range(-3, 3), 2, 4).Draw(t, "sample")
			}
		}
		settings := s
		if !named {
			settings.Restart = nil
		}
		state, err := chart.NewState(settings)
		if err != nil {
			t.Fatal(err)
		}
		for i, sample := range samples {
			if !named && slices.Contains(restart, i) {
				state.Restart()
			}
			if rapid.IntRange(0, 9).Draw(t, "stumble") == 0 {
				for _, bad := range [][]float64{{}, {math.NaN(), 1}, {1.7e308, -1.7e308}} {
					if _, err := state.Append(bad...); err == nil {
						t.Fatalf("%v was not refused", bad)
					}
				}
			}
			grown, err := state.Append(sample...)
			if err != nil {
				t.Fatal(err)
			}
			if i < len(samples)-1 && rapid.IntRange(0, 4).Draw(t, "look") > 0 {
				continue
			}
			so := s
			so.Restart = slices.DeleteFunc(slices.Clone(restart), func(at int) bool { return at > i })
			whole, err := compute(kind, samples[:i+1], so)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(whole, grown); diff != "" {
				t.Fatalf("%d points (whole, grown):\n%s", i+1, diff)
			}
		}
	})
}

// Values that overflow only together with their neighbours are refused too.
func TestStateAfterOverflow(t *testing.T) {
	for _, kind := range []chart.Kind{chart.KindIndividuals, chart.KindEWMA, chart.KindCUSUM} {
		for _, s := range []chart.Settings{{Baseline: 3}, {Given: &chart.Given{Sigma: 1}}} {
			s.Kind = kind
			state, err := chart.NewState(s)
			if err != nil {
				t.Fatal(err)
			}
			values := []float64{1, 2, 4, 3, -1.7e308}
			for _, v := range values {
				_, err = state.Append(v)
			}
			before := len(values)
			if err != nil {
				before--
			}
			if _, err := state.Append(1.7e308); kind == chart.KindIndividuals && s.Given != nil && (err == nil || !strings.Contains(err.Error(), "too large")) {
				t.Errorf("a moving range of 3.4e308 gave %v", err)
			}
			c, err := state.Append(2)
			if err != nil {
				t.Fatalf("%s, %+v: %v", kind, s, err)
			}
			for _, p := range slices.Concat(c.Points, c.Range) {
				for _, x := range []float64{p.Value, p.Statistic, p.High, p.Low} {
					if math.IsNaN(x) || math.IsInf(x, 0) {
						t.Fatalf("%s, %+v: point %+v", kind, s, p)
					}
				}
			}
			if len(c.Points) <= before {
				t.Errorf("%s: %d points after %d and another", kind, len(c.Points), before)
			}
		}
	}
}

// A point that fails after the baseline was computed anew leaves the points
// before it as they were, and neither a sample nor the settings are shared.
func TestStateKeepsToItself(t *testing.T) {
	state, err := chart.NewState(chart.Settings{Kind: chart.KindCUSUM})
	if err != nil {
		t.Fatal(err)
	}
	// 17 values below 0 and more above add up to a sum that overflows, although
	// mean and spread do not.
	values := slices.Repeat([]float64{-1e307}, 17)
	for _, v := range values {
		if _, err = state.Append(v); err != nil {
			t.Fatal(err)
		}
	}
	for len(values) < 40 {
		if _, err = state.Append(1e307); err != nil {
			break
		}
		values = append(values, 1e307)
	}
	if err == nil || !strings.Contains(err.Error(), "too large") {
		t.Fatalf("%d points, error %v", len(values), err)
	}
	state.Restart()
	grown, err := state.Append(2)
	grown = must(t, grown, err)
	whole, err := chart.CUSUM(append(slices.Clone(values), 2), chart.Settings{Restart: []int{len(values)}})
	whole = must(t, whole, err)
	if diff := cmp.Diff(whole, grown); diff != "" {
		t.Errorf("whole, grown:\n%s", diff)
	}

	s := chart.Settings{Kind: chart.KindMeanRange, Restart: []int{2}}
	if state, err = chart.NewState(s); err != nil {
		t.Fatal(err)
	}
	sample := make([]float64, 2)
	var samples [][]float64
	for i := range 4 {
		s.Restart[0] = 2 * i // no longer what the state was made with
		sample[0], sample[1] = float64(i), float64(i*i+1)
		samples = append(samples, slices.Clone(sample))
		grown, err = state.Append(sample...)
		grown = must(t, grown, err)
	}
	whole, err = chart.MeanRange(samples, chart.Settings{Restart: []int{2}})
	whole = must(t, whole, err)
	if diff := cmp.Diff(whole, grown); diff != "" {
		t.Errorf("whole, grown:\n%s", diff)
	}
}

func TestStateRefused(t *testing.T) {
	if _, err := chart.NewState(chart.Settings{Kind: "c"}); err == nil || !strings.Contains(err.Error(), `kind "c"`) {
		t.Errorf("an unknown kind gave %v", err)
	}
	if _, err := chart.NewState(chart.Settings{Baseline: 1}); err == nil {
		t.Error("a baseline of 1 was not refused")
	}
	state, err := chart.NewState(chart.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := state.Append(1, 2); err == nil || !strings.Contains(err.Error(), "2 values at index 0; expected a single value") {
		t.Errorf("two values gave %v", err)
	}
}

func BenchmarkAppend(b *testing.B) {
	for _, kind := range []chart.Kind{chart.KindIndividuals, chart.KindEWMA, chart.KindCUSUM} {
		b.Run(string(kind), func(b *testing.B) {
			state, err := chart.NewState(chart.Settings{Kind: kind, Baseline: 50, Tests: chart.Nelson()})
			if err != nil {
				b.Fatal(err)
			}
			values := noise(1000)
			i := 0
			b.ReportAllocs()
			for b.Loop() {
				if _, err := state.Append(values[i%len(values)]); err != nil {
					b.Fatal(err)
				}
				i++
			}
		})
	}
}
