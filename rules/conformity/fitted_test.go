package conformity_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/conformity"
)

// Bounds belong to what is permitted. The figures are arithmetic: 6 of 2000 points are 3 ‰, 7 are 3.5 ‰.
func TestUnmet(t *testing.T) {
	asked := conformity.Demands{LeastPoints: 100, LeastCoverage: 0.25, CutLimited: true, MostCut: 0.003}
	for _, c := range []struct {
		demands conformity.Demands
		fitted  conformity.Fitted
		want    []string
	}{
		{asked, conformity.Fitted{Name: "A", Points: 1994, Cut: 6, Coverage: 0.25}, nil},
		{asked, conformity.Fitted{Name: "A", Points: 100, Coverage: 1}, nil},
		{asked, conformity.Fitted{Name: "A", Points: 99, Coverage: 1}, []string{"A kept 99 points, expected at least 100"}},
		{asked, conformity.Fitted{Name: "A", Points: 1993, Cut: 7, Coverage: 0.46}, []string{"7 of the 2000 points of A were cut (0.35 %), expected at most 0.3 %"}},
		{asked, conformity.Fitted{Name: "A", Points: 100, Coverage: 0.2}, []string{"20 % of the surface of A was seen, expected at least 25 %"}},
		{asked, conformity.Fitted{Name: "A", Points: 100, Coverage: math.NaN()}, []string{"how much of A was seen is not recorded, expected at least 25 %"}},
		{
			asked,
			conformity.Fitted{Name: "A", Points: 50, Cut: 50, Coverage: 0.1},
			[]string{"A kept 50 points, expected at least 100", "10 % of the surface of A was seen, expected at least 25 %", "50 of the 100 points of A were cut (50 %), expected at most 0.3 %"},
		},
		{conformity.Demands{LeastPoints: 25, Selected: true}, conformity.Fitted{Name: "A", Points: 25, Coverage: math.NaN()}, nil},
		{conformity.Demands{LeastPoints: 25, Selected: true}, conformity.Fitted{Name: "A", Points: 2431}, []string{"A was fitted through 2431 points, expected 25 selected ones"}},
		{conformity.Demands{}, conformity.Fitted{Name: "A", Points: 5, Cut: 500, Coverage: math.NaN()}, nil},
		{conformity.Demands{CutLimited: true}, conformity.Fitted{Name: "A", Points: 999, Cut: 1}, []string{"1 of the 1000 points of A were cut (0.1 %), expected at most 0 %"}},
	} {
		if got := c.demands.Unmet(c.fitted); !slices.Equal(got, c.want) {
			t.Errorf("%+v of %+v: %q, want %q", c.demands, c.fitted, got, c.want)
		}
	}
	if (conformity.Demands{}).Asks() || !(conformity.Demands{LeastCoverage: 0.1}).Asks() {
		t.Error("no demands ask something, or a demand asks nothing")
	}
}

// More than 1 % cut is a finding, and a cap under a quarter of the sphere, 60° of half angle, is little: common practice, no
// source.
func TestFittedRemarks(t *testing.T) {
	for _, c := range []struct {
		fitted conformity.Fitted
		want   []string // what each remark starts with
	}{
		{conformity.Fitted{Name: "A", Points: 99, Cut: 1, Coverage: 0.25}, nil},
		{conformity.Fitted{Name: "A", Points: 989, Cut: 11, Coverage: math.NaN()}, []string{"11 of the 1000 points of A were cut (1.1 %)"}},
		{conformity.Fitted{Name: "A", Points: 99, Cut: 1, Coverage: 0.249}, []string{"only 24.9 % of the surface of A was seen"}},
	} {
		got := c.fitted.Remarks()
		if !slices.EqualFunc(got, c.want, strings.HasPrefix) {
			t.Errorf("%+v: %q, want %q", c.fitted, got, c.want)
		}
	}
}

// A fit that lacks nothing lacks nothing of less, and one with more points, more of the sphere and fewer cut lacks no more.
func TestDemandsAreMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := conformity.Demands{
			LeastPoints: rapid.IntRange(0, 3000).Draw(t, "least"), LeastCoverage: rapid.Float64Range(0, 1).Draw(t, "coverage asked"),
			CutLimited: rapid.Bool().Draw(t, "limited"), MostCut: rapid.Float64Range(0, 0.1).Draw(t, "most"),
		}
		f := conformity.Fitted{
			Name: "A", Points: rapid.IntRange(5, 3000).Draw(t, "points"), Cut: rapid.IntRange(0, 100).Draw(t, "cut"), Coverage: rapid.Float64Range(0, 1).Draw(t, "coverage"),
		}
		better := f
		better.Points += rapid.IntRange(0, 1000).Draw(t, "more")
		better.Cut -= rapid.IntRange(0, f.Cut).Draw(t, "fewer")
		better.Coverage = math.Min(1, f.Coverage+rapid.Float64Range(0, 1).Draw(t, "wider"))
		if len(d.Unmet(better)) > len(d.Unmet(f)) {
			t.Fatalf("%+v: %v lacks more than %v", d, better, f)
		}
	})
}
