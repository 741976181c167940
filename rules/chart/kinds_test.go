package chart_test

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"plumbrule/rules/chart"
	"plumbrule/rules/published"
)

// column reads one column of numbers of a published data set.
func column(t *testing.T, file, name string) []float64 {
	t.Helper()
	out, err := published.Column(file, name)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// made computes a chart of any kind; of a sampled kind each value becomes a
// sample of three about it.
func made(kind chart.Kind, values []float64, s chart.Settings) (chart.Chart, error) {
	return compute(kind, points(kind, values), s)
}

func points(kind chart.Kind, values []float64) [][]float64 {
	out := make([][]float64, len(values))
	for i, v := range values {
		out[i] = []float64{v}
		if kind == chart.KindMeanRange || kind == chart.KindMeanDeviation {
			half := 0.25 * (1.5 + math.Sin(100*v))
			out[i] = []float64{v - half, v, v + half}
		}
	}
	return out
}

// compute charts points of any kind.
func compute(kind chart.Kind, samples [][]float64, s chart.Settings) (chart.Chart, error) {
	switch kind {
	case chart.KindMeanRange:
		return chart.MeanRange(samples, s)
	case chart.KindMeanDeviation:
		return chart.MeanDeviation(samples, s)
	case chart.KindEWMA:
		return chart.EWMA(slices.Concat(samples...), s)
	case chart.KindCUSUM:
		return chart.CUSUM(slices.Concat(samples...), s)
	default:
		return chart.Individuals(slices.Concat(samples...), s)
	}
}

func must(t *testing.T, c chart.Chart, err error) chart.Chart {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func BenchmarkKinds(b *testing.B) {
	values := noise(100_000)
	for _, kind := range chart.Kinds() {
		for _, baseline := range []int{0, 50} {
			b.Run(string(kind)+"/"+strconv.Itoa(baseline), func(b *testing.B) {
				samples := make([][]float64, len(values))
				for i := range samples {
					samples[i] = []float64{values[i], values[(i+7)%len(values)], values[(i+31)%len(values)], values[(i+57)%len(values)], values[(i+91)%len(values)]}
				}
				s := chart.Settings{Baseline: baseline, Tests: chart.Nelson()}
				if kind != chart.KindMeanRange && kind != chart.KindMeanDeviation {
					samples = [][]float64{values} // compute strings them together
				}
				b.ReportAllocs()
				for b.Loop() {
					if _, err := compute(kind, samples, s); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
