package growth_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"plumbrule/rules/growth"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.12g, want %.12g within %g", what, got, want, tolerance)
	}
}

func value(t *testing.T, what string, f growth.Figure) float64 {
	t.Helper()
	if f.Value == nil {
		t.Fatalf("%s is absent: %s", what, f.Reason)
	}
	return *f.Value
}

func estimate(t *testing.T, checks []growth.Check, claim growth.Claim) growth.Growth {
	t.Helper()
	g, err := growth.Estimate(checks, claim, growth.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// group makes six errors over a path with the mean and the standard deviation (n−1) given.
func group(path, mean, sd float64) []growth.Check {
	var out []growth.Check
	for _, unit := range []float64{-1.5, -1, -0.5, 0.5, 1, 1.5} { // sum of squares 7
		out = append(out, growth.Check{PathM: path, ErrorUM: mean + sd*unit*math.Sqrt(5.0/7)})
	}
	return out
}

// With two paths the model is as free as two means and two standard deviations, so all follows in closed form: for means
// m₁, m₂ and standard deviations s₁, s₂ over 1 m and 5 m, the scale error is (m₂−m₁)/4, its variance (s₁²+s₂²)/6/16, and
// the spread passes through s₁ and s₂.
func TestTwoPathsInClosedForm(t *testing.T) {
	checks := append(group(1, 2, 1), group(5, 10, 3)...)
	g := estimate(t, checks, growth.Claim{ConstantUM: 10, PerMetreUM: 5})
	const tight = 1e-6 // a maximum is flat: its place is good to the root of the last digit
	near(t, "scale error", value(t, "scale", g.Scale.PerMetreUM.Estimate), 2, tight)
	near(t, "its standard error", value(t, "se", g.Scale.PerMetreUM.SE), math.Sqrt(10.0/6)/4, tight)
	near(t, "constant", value(t, "constant", g.Scale.ConstantUM.Estimate), 0, tight)
	near(t, "its standard error", value(t, "se", g.Scale.ConstantUM.SE), math.Sqrt((25.0+9)/6)/4, tight)
	near(t, "growth of the spread", value(t, "growth", g.Spread.PerMetreUM.Estimate), 0.5, tight)
	near(t, "constant of the spread", value(t, "constant", g.Spread.ConstantUM.Estimate), 0.5, tight)
	// The standard deviation of s from 6 values is s/√12 to first order, and here times √(12/10) for n−2.
	near(t, "se of growth", value(t, "se", g.Spread.PerMetreUM.SE), math.Sqrt((1.0+9)/10)/4, tight)
	near(t, "path ratio", value(t, "ratio", g.Support.PathRatio), 5, 0)
}

// The interval of the scale error is that of a mixture over the shapes of the spread. For two paths of 6 checks each, and
// a shape of g₁ and g₂ over them, the sum of weighted squares is S = 5·s₁²/g₁² + 5·s₂²/g₂², the variance of the scale error
// S/10·(g₁²+g₂²)/6/16, and the shape's likelihood (g₁·g₂·S)⁻⁵.
func TestScaleIntervalInClosedForm(t *testing.T) {
	checks := append(group(1, 2, 1), group(5, 10, 3)...)
	g := estimate(t, checks, growth.Claim{ConstantUM: 10, PerMetreUM: 5})
	t10 := distuv.StudentsT{Sigma: 1, Nu: 10}
	below := func(slope float64) float64 {
		sum, weights := 0.0, 0.0
		const steps = 2000
		for i := range steps {
			share := (float64(i) + 0.5) / steps
			g1, g2 := 1-share+share/3, 1-share+share*5/3
			squares := 5/(g1*g1) + 5*9/(g2*g2)
			weight := math.Pow(g1*g2*squares, -5)
			sum += weight * t10.CDF((slope-2)/math.Sqrt(squares/10*(g1*g1+g2*g2)/96))
			weights += weight
		}
		return sum / weights
	}
	near(t, "below the lower end", below(value(t, "lower", g.Scale.PerMetreUM.Lower)), 0.025, 1e-5)
	near(t, "below the upper end", below(value(t, "upper", g.Scale.PerMetreUM.Upper)), 0.975, 1e-5)
}

// About a line at 0 the bound is the widest at both ends, t·s·√(1+1/6), because its square is a sum of convex squares.
func TestBoundInClosedForm(t *testing.T) {
	g := estimate(t, append(group(1, 0, 1), group(5, 0, 3)...), growth.Claim{ConstantUM: 2, PerMetreUM: 1})
	const end = 2.2281388519649385 * 1.0801234497346435
	near(t, "part per metre", value(t, "per metre", g.Bound.PerMetreUM), end/2, 1e-5)
	near(t, "constant", value(t, "constant", g.Bound.ConstantUM), end/2, 1e-5)
	near(t, "share at 1 m", value(t, "share", g.Bound.ShareOfMPEAtShortest), end/3, 1e-5)
	near(t, "share at 5 m", value(t, "share", g.Bound.ShareOfMPEAtLongest), 3*end/7, 1e-5)

	// Errors that shrink with the path have a level bound as high as the shortest path needs.
	g = estimate(t, append(group(1, 0, 3), group(5, 0, 1)...), growth.Claim{ConstantUM: 2, PerMetreUM: 1})
	if value(t, "per metre", g.Bound.PerMetreUM) != 0 || *g.Bound.ConstantUM.Value <= 0 {
		t.Errorf("bound of shrinking errors: %g + %g·L", *g.Bound.ConstantUM.Value, *g.Bound.PerMetreUM.Value)
	}
}

// A scale error that dwarfs the scatter asks for a bound in proportion to the path: no claim has a negative constant.
func TestBoundWithoutConstant(t *testing.T) {
	g := estimate(t, append(group(1, 1, 1), group(5, 50, 1)...), growth.Claim{ConstantUM: 2, PerMetreUM: 20})
	const t10 = 1.812461122811676 // t(0.95; 10): the other side is out of reach
	near(t, "constant", value(t, "constant", g.Bound.ConstantUM), 0, 0)
	near(t, "per metre", value(t, "per metre", g.Bound.PerMetreUM), (50+t10*math.Sqrt(1+1.0/6))/5, 1e-5)
}

// Where the spread shrinks with the path, the best of those that do not is constant: then the line is the ordinary one
// and the spread its residual standard deviation. For two groups the sum of squares is 5·3² + 5·1² with 10 degrees of
// freedom.
func TestSpreadOnTheBoundary(t *testing.T) {
	g := estimate(t, append(group(1, 0, 3), group(5, 0, 1)...), growth.Claim{ConstantUM: 2, PerMetreUM: 1})
	near(t, "constant", value(t, "constant", g.Spread.ConstantUM.Estimate), math.Sqrt(5), 1e-12)
	near(t, "growth", value(t, "growth", g.Spread.PerMetreUM.Estimate), 0, 0)
	near(t, "its lower end", value(t, "lower", g.Spread.PerMetreUM.Lower), 0, 0)
	if value(t, "its upper end", g.Spread.PerMetreUM.Upper) <= 0 {
		t.Error("the interval of the growth has no width")
	}
	if se := g.Spread.PerMetreUM.SE; se.Value != nil || se.Reason == "" {
		t.Errorf("standard error on the boundary: %v", se)
	}
	near(t, "se of the scale error", value(t, "se", g.Scale.PerMetreUM.SE), math.Sqrt(5.0/12/4), 1e-12)

	// And where it grows faster than the path, it is proportional to the path.
	g = estimate(t, append(group(1, 0, 1), group(5, 0, 9)...), growth.Claim{ConstantUM: 2, PerMetreUM: 1})
	near(t, "constant", value(t, "constant", g.Spread.ConstantUM.Estimate), 0, 0)
	near(t, "growth", value(t, "growth", g.Spread.PerMetreUM.Estimate), math.Sqrt((5*1+5*81.0/25)/10), 1e-12)
}

// The ends of a profile interval lie where the likelihood has fallen by 1.92. For two paths it is that of two independent
// variances, −5·ln σᵢ − 5·sᵢ²/(2σᵢ²) each; the ends below were found on it by a grid over both parts.
func TestProfileInterval(t *testing.T) {
	g := estimate(t, append(group(1, 0, 1), group(5, 0, 3)...), growth.Claim{ConstantUM: 2, PerMetreUM: 1})
	fall := func(constant, growth float64) float64 {
		if constant == 0 && growth == 0 {
			return math.Inf(1)
		}
		loss := 0.0
		for _, c := range []struct{ path, sd float64 }{{1, 1}, {5, 3}} {
			r := c.sd / (constant + growth*c.path)
			loss += 2.5 * (r*r - 1 - 2*math.Log(r))
		}
		return loss
	}
	least := func(of func(free float64) float64) float64 {
		best := math.Inf(1)
		for i := range 40000 {
			best = min(best, of(float64(i)*2e-4))
		}
		return best
	}
	const cut = 1.959963984540054 * 1.959963984540054 / 2
	upper := value(t, "upper", g.Spread.PerMetreUM.Upper)
	near(t, "fall at the upper end of the growth", least(func(a float64) float64 { return fall(a, upper) }), cut, 1e-4)
	upper = value(t, "upper", g.Spread.ConstantUM.Upper)
	near(t, "fall at the upper end of the constant", least(func(b float64) float64 { return fall(upper, b) }), cut, 1e-4)
	if lower := value(t, "lower", g.Spread.PerMetreUM.Lower); lower > 0 {
		near(t, "fall at the lower end of the growth", least(func(a float64) float64 { return fall(a, lower) }), cut, 1e-4)
	} else if none := least(func(a float64) float64 { return fall(a, 0) }); none > cut {
		t.Errorf("lower end 0, where the likelihood has fallen by %v", none)
	}
}

// Other units: errors three times as large make everything in µm three times as large; paths twice as long halve what is
// per metre and leave the constants.
func TestUnits(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(10, 25).Draw(r, "n")
		var a, b []growth.Check
		for range n {
			path := float64(rapid.IntRange(2, 40).Draw(r, "path")) / 4
			e := float64(rapid.IntRange(-40, 40).Draw(r, "error"))
			a = append(a, growth.Check{PathM: path, ErrorUM: e})
			b = append(b, growth.Check{PathM: 2 * path, ErrorUM: 3 * e})
		}
		x, y := estimate(t, a, growth.Claim{ConstantUM: 4, PerMetreUM: 2}), estimate(t, b, growth.Claim{ConstantUM: 12, PerMetreUM: 3})
		if x.Bound.ConstantUM.Value == nil {
			return
		}
		for _, f := range []struct {
			what   string
			x, y   growth.Figure
			factor float64
		}{
			{"scale", x.Scale.PerMetreUM.Estimate, y.Scale.PerMetreUM.Estimate, 1.5},
			{"constant", x.Scale.ConstantUM.Upper, y.Scale.ConstantUM.Upper, 3},
			{"growth of the spread", x.Spread.PerMetreUM.Upper, y.Spread.PerMetreUM.Upper, 1.5},
			{"bound", x.Bound.ConstantUM, y.Bound.ConstantUM, 3},
			{"bound per metre", x.Bound.PerMetreUM, y.Bound.PerMetreUM, 1.5},
			{"share", x.Bound.ShareOfMPEAtLongest, y.Bound.ShareOfMPEAtLongest, 1},
		} {
			near(t, f.what, *f.y.Value, f.factor**f.x.Value, 1e-4*(1+math.Abs(*f.y.Value)))
		}
		if x.Support.Enough != y.Support.Enough {
			t.Errorf("support %v, %v", x.Support, y.Support)
		}
		for _, p := range []growth.Parameter{x.Scale.ConstantUM, x.Scale.PerMetreUM, x.Spread.ConstantUM, x.Spread.PerMetreUM} {
			if !(*p.Lower.Value <= *p.Estimate.Value && *p.Estimate.Value <= *p.Upper.Value) {
				t.Errorf("estimate %v outside %v … %v", *p.Estimate.Value, *p.Lower.Value, *p.Upper.Value)
			}
		}
		if *x.Bound.ConstantUM.Value < 0 || *x.Bound.PerMetreUM.Value < 0 {
			t.Errorf("bound %v, %v", *x.Bound.ConstantUM.Value, *x.Bound.PerMetreUM.Value)
		}
	})
}
