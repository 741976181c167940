package space_test

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/rules/route/space"
)

// Against every pair.
func TestWithin(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		places := make([]space.Point, rapid.IntRange(0, 30).Draw(r, "n"))
		for i := range places {
			places[i] = drawPoint(r, "place")
			for k := range places[i] {
				places[i][k] = math.Round(places[i][k]) // so that some are at the same place, or exactly within reach
			}
		}
		reach := rapid.SampledFrom([]float64{1, 3, 5, 7.5, 40}).Draw(r, "reach")
		obstacles := []space.Shape{space.Ball{Centre: drawPoint(r, "ball"), Radius: 2}}
		want := []space.Line(nil)
		for i := range places {
			for j := i + 1; j < len(places); j++ {
				if d := space.Distance(places[i], places[j]); d <= reach && !obstacles[0].Blocks(places[i], places[j]) {
					want = append(want, space.Line{A: i, B: j, Length: d})
				}
			}
		}
		got, err := space.Within(places, reach, obstacles)
		if err != nil {
			r.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			r.Fatal(diff)
		}
	})
}

func TestWithinRefuses(t *testing.T) {
	for _, reach := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := space.Within(nil, reach, nil); !errors.Is(err, space.ErrReach) {
			t.Errorf("reach %v: %v", reach, err)
		}
	}
	if _, err := space.Within(make([]space.Point, 3000), 1, nil); !errors.Is(err, space.ErrManyJoins) {
		t.Errorf("3000 volumes at one place: %v", err)
	}
}
