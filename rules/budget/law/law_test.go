package law_test

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"plumbrule/rules/budget/law"
	"plumbrule/rules/budget/random"
)

// JCGM 101:2008 table 1 and clause 6.4, from memory; the factors recomputed.
func TestStandard(t *testing.T) {
	for _, tt := range []struct {
		law  law.Law
		want float64
	}{
		{law.Law{Kind: law.Exact, Centre: 5}, 0},
		{law.Law{Kind: law.Normal, Width: 2}, 2},
		{law.Law{Kind: law.Rectangular, Width: 1}, 0.57735027},
		{law.Law{Kind: law.Triangular, Width: 1}, 0.40824829},
		{law.Law{Kind: law.Arcsine, Width: 1}, 0.70710678},
		{law.Law{Kind: law.Trapezoidal, Width: 1}, 0.40824829},
		{law.Law{Kind: law.Trapezoidal, Width: 1, Shape: 1}, 0.57735027},
		{law.Law{Kind: law.Trapezoidal, Width: 75, Shape: 25.0 / 75}, 32.2748612}, // √(25² + 50²)/√3, of two rectangular ones
		{law.Law{Kind: law.CurvilinearTrapezoidal, Width: 1}, 0.57735027},
		{law.Law{Kind: law.CurvilinearTrapezoidal, Width: 0.05, Shape: 0.025}, math.Sqrt(0.0025/3 + 0.000625/9)},
		{law.Law{Kind: law.Student, Width: 25, Shape: 18}, 25 * math.Sqrt(18.0/16)},
		{law.Law{Kind: law.Student, Width: 1, Shape: 2}, math.Inf(1)},
		{law.Law{Kind: law.Exponential, Centre: 3}, 3},
	} {
		if got := tt.law.Standard(); got != tt.want && !(math.Abs(got-tt.want) < 1e-8*tt.want) {
			t.Errorf("%+v: %.10g, want %.10g", tt.law, got, tt.want)
		}
	}
	if (law.Law{Kind: law.Student, Shape: 1}).HasMean() || !(law.Law{Kind: law.Student, Shape: 2}).HasMean() || !(law.Law{Kind: law.Normal}).HasMean() {
		t.Error("t has a mean from ν = 1 upward and not at it")
	}
}

// Draws follow the distribution: largest difference of the distribution functions times √n, which exceeds 1.95 once in a
// thousand samples; and they keep to the limits.
func TestDraws(t *testing.T) {
	trapezoid := func(a, beta float64) func(float64) float64 {
		return func(x float64) float64 {
			x = math.Max(-a, math.Min(a, x))
			below := func(x float64) float64 { return (a + x) * (a + x) / (2 * a * a * (1 - beta*beta)) } // on the slope
			switch {
			case x < -beta*a:
				return below(x)
			case x <= beta*a:
				return 0.5 + x/(a*(1+beta))
			}
			return 1 - below(-x)
		}
	}
	// Within a half width w the draw is rectangular; w itself is rectangular on a ± d: the mean over w, in closed form.
	curvilinear := func(a, d float64) func(float64) float64 {
		return func(x float64) float64 {
			s := math.Abs(x)
			above := 0.0 // probability beyond s on one side: ∫ (w − s)/(2w) dw/(2d) over w from max(s, a − d) to a + d
			if low := math.Max(s, a-d); low < a+d {
				above = ((a + d - low) - s*math.Log((a+d)/low)) / (4 * d)
			}
			if x < 0 {
				return above
			}
			return 1 - above
		}
	}
	for i, tt := range []struct {
		law  law.Law
		cdf  func(float64) float64
		most float64 // |draw − centre|; 0: no limit
	}{
		{law.Law{Kind: law.Normal, Centre: 1, Width: 0.2}, func(x float64) float64 { return distuv.Normal{Sigma: 0.2}.CDF(x) }, 0},
		{law.Law{Kind: law.Student, Centre: -3, Width: 4, Shape: 5}, func(x float64) float64 { return distuv.StudentsT{Sigma: 4, Nu: 5}.CDF(x) }, 0},
		{law.Law{Kind: law.Rectangular, Centre: 5, Width: 2}, func(x float64) float64 { return (x + 2) / 4 }, 2},
		{law.Law{Kind: law.Triangular, Centre: 5, Width: 2}, trapezoid(2, 0), 2},
		{law.Law{Kind: law.Trapezoidal, Centre: 5, Width: 2, Shape: 0.25}, trapezoid(2, 0.25), 2},
		{law.Law{Kind: law.CurvilinearTrapezoidal, Centre: 5, Width: 2, Shape: 1}, curvilinear(2, 1), 3},
		{law.Law{Kind: law.Arcsine, Centre: 5, Width: 2}, func(x float64) float64 { return 0.5 + math.Asin(x/2)/math.Pi }, 2},
		{law.Law{Kind: law.Exponential, Centre: 3}, func(x float64) float64 { return 1 - math.Exp(-(x+3)/3) }, 0},
	} {
		t.Run(string(tt.law.Kind), func(t *testing.T) {
			s := random.NewSampler()
			s.Restart(random.NewGenerator(uint64(i)))
			sample := make([]float64, 100_000)
			for block := range slices.Chunk(sample, 700) {
				tt.law.Draw(s, block)
			}
			slices.Sort(sample)
			n, worst, sum := float64(len(sample)), 0.0, 0.0
			for i, x := range sample {
				p := tt.cdf(x - tt.law.Centre)
				worst = max(worst, p-float64(i)/n, float64(i+1)/n-p)
				sum += (x - tt.law.Centre) * (x - tt.law.Centre)
				if tt.most > 0 && math.Abs(x-tt.law.Centre) > tt.most {
					t.Fatalf("%g lies outside the limits", x)
				}
			}
			if d := worst * math.Sqrt(n); d > 1.95 {
				t.Errorf("distance %.3f", d)
			}
			if got, want := math.Sqrt(sum/n), tt.law.Standard(); math.Abs(got/want-1) > 0.015 {
				t.Errorf("standard deviation %g, want %g", got, want)
			}
		})
	}
}

func TestExactDraws(t *testing.T) {
	v := make([]float64, 3)
	(law.Law{Kind: law.Exact, Centre: 7}).Draw(random.NewSampler(), v)
	if !slices.Equal(v, []float64{7, 7, 7}) {
		t.Errorf("%v", v)
	}
}

func TestNamesAreTold(t *testing.T) {
	for _, k := range law.Kinds() {
		if l := (law.Law{Kind: k, Width: 1, Centre: 1, Shape: 3}); math.IsNaN(l.Standard()) || l.String() == "" {
			t.Errorf("%s is not a whole distribution", k)
		}
	}
	if got := (law.Law{Kind: law.Student, Shape: 4}).String(); got != "t, ν = 4" {
		t.Error(got)
	}
	if !math.IsNaN((law.Law{}).Standard()) {
		t.Error("no distribution has a standard deviation")
	}
}
