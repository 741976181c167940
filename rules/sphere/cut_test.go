package sphere

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// The factors of the cuts, from their definitions, by numerical integration of the standard normal density.
func TestCutFactors(t *testing.T) {
	normal := distuv.UnitNormal
	kept := func(c float64) float64 { return normal.CDF(c) - normal.CDF(-c) }
	square := func(c float64) float64 {
		return quad.Fixed(func(x float64) float64 { return x * x * normal.Prob(x) }, -c, c, 200, nil, 0)
	}
	sd := func(c float64) float64 { return math.Sqrt(square(c) / kept(c)) }
	is := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 5e-5 {
			t.Errorf("%s: %.6f, want %.6f", what, got, want)
		}
	}
	is("s after one cut", CutOnce.shrinkage(), sd(3))
	c := 3.0
	for range 1000 { // a repeated cut ends where it is three standard deviations of what it keeps
		c = 3 * sd(c)
	}
	if math.Abs(c-2.9545) > 1e-3 {
		t.Errorf("a repeated cut ends at %.5f", c)
	}
	is("s after repeated cuts", CutRepeated.shrinkage(), sd(c))

	edge := 2 * 3 * normal.Prob(3)
	once := square(3) + 2*edge*square(3) + edge*edge
	is("scatter after one cut", CutOnce.scatter(), math.Sqrt(once/kept(3)))
	is("scatter after repeated cuts", CutRepeated.scatter(), math.Sqrt(square(c)*kept(c))/(kept(c)-2*c*normal.Prob(c)))
	is("no cut", KeepAll.shrinkage()*KeepAll.scatter(), 1)
}
