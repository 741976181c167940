package chart_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"plumbrule/rules/chart"
)

// readings draws values with two decimals, so that ties and points on lines occur.
func readings(least int) *rapid.Generator[[]float64] {
	return rapid.Custom(func(t *rapid.T) []float64 {
		reach := rapid.SampledFrom([]int{2, 30, 400}).Draw(t, "reach")
		whole := rapid.SliceOfN(rapid.IntRange(-reach, reach), least, 60).Draw(t, "values")
		values := make([]float64, len(whole))
		for i, v := range whole {
			values[i] = float64(v) / 100
		}
		return values
	})
}

func charted(t *rapid.T, kind chart.Kind, samples [][]float64, s chart.Settings) chart.Chart {
	c, err := compute(kind, samples, s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Shifting and scaling values moves centre and limits along and leaves every
// signal as it was; a negative scale swaps the sides only.
func TestShiftAndScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(chart.Kinds()).Draw(t, "kind")
		samples := points(kind, readings(1).Draw(t, "values"))
		shift := rapid.Float64Range(-1000, 1000).Draw(t, "shift")
		scale := rapid.Float64Range(0.001, 1000).Draw(t, "scale")
		if rapid.Bool().Draw(t, "mirrored") {
			scale = -scale
		}
		moved := make([][]float64, len(samples))
		for i, sample := range samples {
			for _, v := range sample {
				moved[i] = append(moved[i], scale*(v+shift))
			}
		}
		s := chart.Settings{Tests: chart.Nelson(), Baseline: rapid.SampledFrom([]int{0, 2, 10}).Draw(t, "baseline"), Minimum: 1}
		a, b := charted(t, kind, samples, s), charted(t, kind, moved, s)
		side := map[chart.Test]chart.Test{chart.HighSum: chart.LowSum, chart.LowSum: chart.HighSum}
		for i := range a.Points {
			for j := range b.Points[i].Signals {
				signal := &b.Points[i].Signals[j]
				if other, sided := side[signal.Test]; sided && scale < 0 {
					signal.Test = other
				}
			}
			byTest := cmpopts.SortSlices(func(x, y chart.Signal) bool { return x.Test < y.Test })
			if diff := cmp.Diff(a.Points[i].Signals, b.Points[i].Signals, byTest); diff != "" {
				t.Fatalf("point %d:\n%s", i+1, diff)
			}
		}
		la, lb := a.Current().Limits, b.Current().Limits
		if (la == nil) != (lb == nil) {
			t.Fatalf("limits %v and %v", la, lb)
		}
		if la == nil {
			return
		}
		if kind == chart.KindCUSUM {
			shift = 0 // sums are about 0
		}
		lower, upper := scale*(la.Lower+shift), scale*(la.Upper+shift)
		if math.Abs(lb.Upper-max(lower, upper)) > 1e-9*math.Abs(scale)*1000 || math.Abs(lb.Lower-min(lower, upper)) > 1e-9*math.Abs(scale)*1000 {
			t.Fatalf("limits %v and %v", la, lb)
		}
	})
}

// A chart with restarts says what separate charts of its segments say.
func TestRestartEqualsSeparateCharts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(chart.Kinds()).Draw(t, "kind")
		samples := points(kind, readings(2).Draw(t, "values"))
		restart := rapid.SliceOfNDistinct(rapid.IntRange(0, len(samples)-1), 0, 4, rapid.ID).Draw(t, "restart")
		slices.Sort(restart)
		s := chart.Settings{Tests: chart.Nelson(), Baseline: rapid.SampledFrom([]int{0, 2, 10}).Draw(t, "baseline"), Minimum: 1, HeadStart: 2.5}
		parts := s
		s.Restart = restart
		whole := charted(t, kind, samples, s)
		ranges := 0
		for i, segment := range whole.Segments {
			first := segment.First - 1
			part := charted(t, kind, samples[first:segment.Last], parts)
			number := func(points []chart.Point) []chart.Point {
				for j := range points {
					p := &points[j]
					p.N += first
					p.Segment = i
					for k := range p.Signals {
						p.Signals[k].Points = slices.Clone(p.Signals[k].Points)
						for l := range p.Signals[k].Points {
							p.Signals[k].Points[l] += first
						}
					}
				}
				return points
			}
			if diff := cmp.Diff(number(part.Points), whole.Points[first:segment.Last]); diff != "" {
				t.Fatalf("segment %d:\n%s", i, diff)
			}
			if diff := cmp.Diff(number(part.Range), whole.Range[ranges:ranges+len(part.Range)], cmpopts.EquateEmpty()); diff != "" {
				t.Fatalf("segment %d, ranges:\n%s", i, diff)
			}
			ranges += len(part.Range)
			if diff := cmp.Diff(part.Segments[0].Limits, segment.Limits); diff != "" {
				t.Fatal(diff)
			}
		}
		if ranges != len(whole.Range) {
			t.Fatalf("%d points of dispersion, want %d", len(whole.Range), ranges)
		}
	})
}

// Later points change nothing that was said about earlier ones once the
// baseline is complete.
func TestLaterPointsLeaveEarlierOnesAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom(chart.Kinds()).Draw(t, "kind")
		samples := points(kind, readings(12).Draw(t, "values"))
		cut := rapid.IntRange(10, len(samples)).Draw(t, "cut")
		s := chart.Settings{Tests: chart.Nelson(), Baseline: 10}
		if diff := cmp.Diff(charted(t, kind, samples[:cut], s).Points, charted(t, kind, samples, s).Points[:cut]); diff != "" {
			t.Fatal(diff)
		}
	})
}

func ExampleIndividuals() {
	values := []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1, 57.0}
	c, err := chart.Individuals(values, chart.Settings{Baseline: 10, Tests: chart.Nelson()})
	if err != nil {
		fmt.Println(err)
		return
	}
	l := c.Current().Limits
	fmt.Printf("centre %.2f, limits %.2f to %.2f\n", l.Centre, l.Lower, l.Upper)
	for _, p := range c.Points {
		for _, s := range p.Signals {
			fmt.Printf("point %d: %s, %s\n", p.N, s.Test, s.Words())
		}
	}
	// Output:
	// centre 50.81, limits 45.82 to 55.80
	// point 11: point-beyond, beyond a control limit
}
