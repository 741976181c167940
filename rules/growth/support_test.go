package growth_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"plumbrule/rules/growth"
)

// The criteria of Support: at least 10 checks, a longest path of twice the shortest, and a standard error of the growth
// of at most half the claim.
func TestSupport(t *testing.T) {
	wide := append(group(1, 2, 1), group(5, 10, 3)...)
	narrow := append(group(3, 2, 1), group(5, 10, 3)...)
	for _, c := range []struct {
		name   string
		checks []growth.Check
		slope  float64
		enough bool
		reason string
	}{
		{"wide", wide, 20, true, "the growth is known to 0.808 µm per metre (standard error), at most half of the claimed 20"},
		{"claim too fine", wide, 1.5, false, "the growth is known to 0.808 µm per metre (standard error), expected at most half of the claimed 1.5; check over longer paths or more often"},
		{"claim does not grow", wide, 0, true, "the claim does not grow with the path"},
		{"narrow", narrow, 1000, false, "the longest path is 1.67 times the shortest, expected at least 2 times; check over longer or shorter paths too"},
		{"few", wide[:9], 20, false, "9 checks, expected at least 10 to tell a constant and a growth of both line and spread"},
		{"none", nil, 20, false, "0 checks, expected at least 10 to tell a constant and a growth of both line and spread"},
		{"one path", append(group(5, 2, 1), group(5, 10, 3)...), 20, false, "all 12 checks are over 5 m; check over different paths"},
		{"no scatter", append(group(1, 2, 0), group(5, 10, 0)...), 20, false, "the errors show no scatter about a line; read them more finely"},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := estimate(t, c.checks, growth.Claim{ConstantUM: 10, PerMetreUM: c.slope})
			if g.Support.Enough != c.enough || g.Support.Reason != c.reason {
				t.Errorf("got %v, %s", g.Support.Enough, g.Support.Reason)
			}
			if len(g.Points) != len(c.checks) {
				t.Errorf("%d points", len(g.Points))
			}
			for _, f := range figures(g) {
				if (f.Value == nil) == (f.Reason == "") {
					t.Errorf("a figure with neither or both: %v", f)
				}
				if f.Value != nil && (math.IsNaN(*f.Value) || math.IsInf(*f.Value, 0)) {
					t.Errorf("a figure is %v", *f.Value)
				}
			}
		})
	}
}

func figures(g growth.Growth) []growth.Figure {
	out := []growth.Figure{
		g.Bound.ConstantUM, g.Bound.PerMetreUM, g.Bound.ShareOfMPEAtShortest, g.Bound.ShareOfMPEAtLongest,
		g.Support.PathRatio, g.Support.GrowthSEUM,
	}
	for _, p := range []growth.Parameter{g.Scale.ConstantUM, g.Scale.PerMetreUM, g.Spread.ConstantUM, g.Spread.PerMetreUM} {
		out = append(out, p.Estimate, p.SE, p.Lower, p.Upper)
	}
	return out
}

func TestFunnel(t *testing.T) {
	checks := []growth.Check{{PathM: 2.5, ErrorUM: -3}, {PathM: 1, ErrorUM: 40}}
	want := []growth.Point{{PathM: 2.5, ErrorUM: -3, MPEUM: 72.5}, {PathM: 1, ErrorUM: 40, MPEUM: 35}}
	if diff := cmp.Diff(want, estimate(t, checks, growth.Claim{ConstantUM: 10, PerMetreUM: 25}).Points); diff != "" {
		t.Error(diff)
	}
}

func TestEstimateRefuses(t *testing.T) {
	good := growth.Claim{ConstantUM: 10, PerMetreUM: 25}
	for _, c := range []struct {
		check    growth.Check
		claim    growth.Claim
		settings growth.Settings
		want     string
	}{
		{growth.Check{PathM: 0, ErrorUM: 1}, good, growth.Settings{}, "the path at index 0 is 0 m, expected 1e-9 to 1e6 m; check the unit"},
		{growth.Check{PathM: math.NaN(), ErrorUM: 1}, good, growth.Settings{}, "the path at index 0 is NaN m, expected 1e-9 to 1e6 m; check the unit"},
		{growth.Check{PathM: 1, ErrorUM: math.Inf(1)}, good, growth.Settings{}, "the error at index 0 is +Inf µm, expected at most 1e9 µm in magnitude; check the unit"},
		{growth.Check{PathM: 1}, growth.Claim{ConstantUM: -1}, growth.Settings{}, "the constant of the claim is -1 µm, expected 0 to 1e9 µm; check the formula of the limit"},
		{growth.Check{PathM: 1}, growth.Claim{PerMetreUM: math.NaN()}, growth.Settings{}, "the part per metre of the claim is NaN µm, expected 0 to 1e9 µm; check the formula of the limit"},
		{growth.Check{PathM: 1}, growth.Claim{}, growth.Settings{}, "the claim is 0 at every path, expected a constant or a part per metre above 0"},
		{growth.Check{PathM: 1}, good, growth.Settings{Level: 95}, "level 95, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %"},
		{growth.Check{PathM: 1}, good, growth.Settings{Coverage: 1}, "coverage 1, expected 0.5 to 0.9999; state it as a fraction, 0.95 for 95 %"},
	} {
		_, err := growth.Estimate([]growth.Check{c.check}, c.claim, c.settings)
		if err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// Whatever is allowed in, no figure that comes out is anything but a number or a reason.
func TestNoSilentFigures(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		path := rapid.SampledFrom([]float64{1e-9, 1e-3, 1, 1.0000001, 5, 1e6})
		size := rapid.SampledFrom([]float64{0, 1e-11, -0.1, 0.1, 1, -1, 3, 1e9, -1e9})
		checks := make([]growth.Check, rapid.IntRange(0, 14).Draw(r, "n"))
		for i := range checks {
			checks[i] = growth.Check{PathM: path.Draw(r, "path"), ErrorUM: size.Draw(r, "error")}
		}
		g := estimate(t, checks, growth.Claim{ConstantUM: 1e-3, PerMetreUM: 1e-9})
		for i, f := range figures(g) {
			if (f.Value == nil) == (f.Reason == "") || f.Value != nil && (math.IsNaN(*f.Value) || math.IsInf(*f.Value, 0)) {
				r.Fatalf("figure %d: %v, %q", i, f.Value, f.Reason)
			}
		}
		for _, p := range []growth.Parameter{g.Scale.ConstantUM, g.Scale.PerMetreUM, g.Spread.ConstantUM, g.Spread.PerMetreUM} {
			if p.Estimate.Value != nil && !(*p.Lower.Value <= *p.Estimate.Value && *p.Estimate.Value <= *p.Upper.Value) {
				r.Fatalf("estimate %v outside %v … %v", *p.Estimate.Value, *p.Lower.Value, *p.Upper.Value)
			}
		}
	})
}
