package random

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

func sampler(seed uint64) *Sampler {
	s := NewSampler()
	s.Restart(NewGenerator(seed))
	return s
}

// distance is the largest difference between the empirical and the given distribution function, times √n: the statistic of
// Kolmogorov, which exceeds 1.95 once in a thousand samples.
func distance(sample []float64, cdf func(float64) float64) float64 {
	slices.Sort(sample)
	n, worst := float64(len(sample)), 0.0
	for i, x := range sample {
		p := cdf(x)
		worst = max(worst, p-float64(i)/n, float64(i+1)/n-p)
	}
	return worst * math.Sqrt(n)
}

func TestDistributions(t *testing.T) {
	arcsine := func(x float64) float64 { return 0.5 + math.Asin(x)/math.Pi }
	type c struct {
		name string
		draw func(*Sampler, []float64)
		cdf  func(float64) float64
	}
	cases := []c{
		{"uniform", (*Sampler).Uniform, func(x float64) float64 { return x }},
		{"normal", (*Sampler).Normal, distuv.UnitNormal.CDF},
		{"arcsine", (*Sampler).Arcsine, arcsine},
	}
	for _, nu := range []float64{1, 1.5, 2, 2.5, 4, 18, 1000} {
		cases = append(cases, c{
			fmt.Sprint("Student ", nu),
			func(s *Sampler, into []float64) { s.Student(into, nu) }, distuv.StudentsT{Sigma: 1, Nu: nu}.CDF,
		})
	}
	for _, shape := range []float64{0.5, 0.9, 1, 3} {
		cases = append(cases, c{
			fmt.Sprint("gamma ", shape),
			func(s *Sampler, into []float64) { s.gammas(into, shape) }, distuv.Gamma{Alpha: shape, Beta: 1}.CDF,
		})
	}
	for i, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s, sample := sampler(uint64(100+i)), make([]float64, 200_000)
			for block := range slices.Chunk(sample, 1000) {
				c.draw(s, block)
			}
			if d := distance(sample, c.cdf); d > 1.95 {
				t.Errorf("distance %.3f", d)
			}
		})
	}
}

// Every strip of the ziggurat and its tail: ten million draws in 800 cells of equal probability. The sum of squares is
// chi-squared with 799 degrees of freedom, mean 799, standard deviation 40.
func TestNormalCells(t *testing.T) {
	const cells, blocks = 800, 10_000
	s, block := sampler(2), make([]float64, 1000)
	var bounds [cells - 1]float64
	for i := range bounds {
		bounds[i] = distuv.UnitNormal.Quantile(float64(i+1) / cells)
	}
	var counts [cells]float64
	var beyond, farther float64
	for range blocks {
		s.Normal(block)
		for _, x := range block {
			cell, _ := slices.BinarySearch(bounds[:], x)
			counts[cell]++
			if math.Abs(x) > tailStart {
				beyond++
			}
			if math.Abs(x) > 4.5 {
				farther++
			}
		}
	}
	expected, sum := float64(blocks*len(block))/cells, 0.0
	for _, n := range counts {
		sum += (n - expected) * (n - expected) / expected
	}
	if math.Abs(sum-(cells-1)) > 4*math.Sqrt(2*cells) {
		t.Errorf("chi-squared %.0f, want about %d", sum, cells-1)
	}
	for _, tail := range []struct{ from, n float64 }{{tailStart, beyond}, {4.5, farther}} {
		want := float64(blocks*len(block)) * math.Erfc(tail.from/math.Sqrt2)
		if math.Abs(tail.n-want) > 4*math.Sqrt(want) {
			t.Errorf("%g draws beyond %g, want about %.0f", tail.n, tail.from, want)
		}
	}
}

// The strips have one area and the uppermost closes at the density's top; the start of the tail was published for that.
func TestZigguratCloses(t *testing.T) {
	z := newZiggurat()
	const draws = 1 << 53
	area := z.scale[0] * draws * z.height[1]
	if math.Abs(area-0.00492867323399) > 1e-13 { // Marsaglia and Tsang 2000
		t.Errorf("area of a strip %.14f", area)
	}
	for i := 1; i < layers; i++ {
		if got := z.scale[i] * draws * (z.height[i+1] - z.height[i]); math.Abs(got-area) > 1e-9*area {
			t.Fatalf("strip %d has the area %.12f, want %.12f", i, got, area)
		}
		if i < layers-1 { // what needs no look at the density ends where the next strip does
			if got, want := float64(z.inside[i])*z.scale[i], z.scale[i+1]*draws; math.Abs(got-want) > 1e-12*want {
				t.Fatalf("strip %d lies under the density up to %.12f, want %.12f", i, got, want)
			}
		}
	}
}

func TestUnitIsOpen(t *testing.T) {
	if low, high := unit(0), unit(math.MaxUint64); !(low > 0) || !(high < 1) || low != 1-high {
		t.Errorf("from %g to %g", low, high)
	}
}

// A block drawn at once or in pieces differs (rejections draw on), a restart does not.
func TestRestartRepeats(t *testing.T) {
	s := NewSampler()
	var first, again [257]float64
	for _, into := range [][]float64{first[:], again[:]} {
		s.Restart(NewGenerator(3))
		s.Student(into, 3)
		s.Normal(into[:100])
	}
	if first != again {
		t.Error("a restarted stream draws other numbers")
	}
}
