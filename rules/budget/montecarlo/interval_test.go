package montecarlo

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/budget/random"
)

// JCGM 101:2008 7.7: q = pM, else the whole part of pM + ½; r = (M − q)/2, else the whole part of (M − q + 1)/2.
func TestRanks(t *testing.T) {
	for _, tt := range []struct {
		p           float64
		m, span, at int
	}{{0.95, 1_000_000, 950_000, 25_000}, {0.95, 10_000, 9_500, 250}, {0.95, 2001, 1901, 50}, {0.95, 2010, 1910, 50}, {0.99, 10_050, 9950, 50}, {0.9, 1015, 914, 51}} {
		if span, at := ranks(tt.p, tt.m); span != tt.span || at != tt.at {
			t.Errorf("p = %g of %d: %d from %d, want %d from %d", tt.p, tt.m, span, at, tt.span, tt.at)
		}
	}
}

// The tails ordered in place give what ordering everything gives, whatever the distribution, ties and trends included.
func TestIntervalsAgreeWithFullOrder(t *testing.T) {
	shapes := []func(x float64, i, n int) float64{
		func(x float64, _, _ int) float64 { return x },
		func(x float64, _, _ int) float64 { return math.Round(x * 2) },                   // many ties
		func(float64, int, int) float64 { return 3 },                                     // nothing but ties
		func(_ float64, i, n int) float64 { return float64(i) / float64(n) },             // a trend
		func(x float64, i, n int) float64 { return x + 10*float64(i*5/n) },               // steps that a strided sample sees
		func(x float64, _, _ int) float64 { return math.Exp(3 * x) },                     // skewed
		func(x float64, i, _ int) float64 { return x * math.Pow(-1, float64(i)) * 1e-3 }, // small
		func(x float64, i, n int) float64 { // the sample misses all that is large
			if i%(n/sampleSize) != 0 {
				return x + 100
			}
			return x
		},
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5*sampleSize-10, 5*sampleSize+50_000).Draw(t, "n")
		p := rapid.SampledFrom([]float64{0.5, 0.8, 0.95, 0.99, 0.999}).Draw(t, "p")
		shape := shapes[rapid.IntRange(0, len(shapes)-1).Draw(t, "shape")]
		s := random.NewSampler()
		s.Restart(random.NewGenerator(rapid.Uint64().Draw(t, "seed")))
		values := make([]float64, n)
		s.Normal(values)
		for i := range values {
			values[i] = shape(values[i], i, n)
		}
		all := slices.Clone(values)
		slices.Sort(all)
		got := intervalsOf(values, p, rapid.IntRange(1, 2).Draw(t, "workers"))
		span, first := ranks(p, n)
		if want := (Interval{all[first-1], all[first+span-1]}); got.symmetric != want {
			t.Fatalf("symmetric %v, want %v", got.symmetric, want)
		}
		best := Interval{all[0], all[span]}
		for r := 0; r+span < n; r++ {
			if all[r+span]-all[r] < best.High-best.Low {
				best = Interval{all[r], all[r+span]}
			}
		}
		if got.shortest != best {
			t.Fatalf("shortest %v, want %v", got.shortest, best)
		}
		slices.Sort(values)
		if !slices.Equal(values, all) {
			t.Fatal("ordering changes the values")
		}
	})
}

// JCGM 101:2008 7.9.4 g) to k): twice the standard deviation of the average of h values, s/√h, for each of the four figures.
func TestStable(t *testing.T) {
	steady := []sequence{{mean: 1, u: 2, low: 3, high: 4}, {mean: 1, u: 2, low: 3, high: 4}, {mean: 1, u: 2, low: 3, high: 4}}
	if stable(steady[:1], 1) || !stable(steady[:2], 0) || !stable(steady, 0) {
		t.Error("one sequence is never stable, equal ones always are")
	}
	for i, of := range []func(*sequence) *float64{
		func(s *sequence) *float64 { return &s.mean }, func(s *sequence) *float64 { return &s.u },
		func(s *sequence) *float64 { return &s.low }, func(s *sequence) *float64 { return &s.high },
	} {
		all := slices.Clone(steady)
		*of(&all[0]) -= 0.3
		*of(&all[2]) += 0.3 // s = 0.3, 2s/√3 = 0.34641
		if !stable(all, 0.3465) || stable(all, 0.3463) {
			t.Errorf("figure %d: stable to 0.3465 %v, to 0.3463 %v", i, stable(all, 0.3465), stable(all, 0.3463))
		}
	}
}

func TestMomentsTogether(t *testing.T) {
	s := random.NewSampler()
	s.Restart(random.NewGenerator(4))
	values := make([]float64, 30_001)
	s.Normal(values)
	for i := range values {
		values[i] = 1e9 + values[i]
	}
	whole := momentsOf(values, 1e9)
	parts := together([]moments{momentsOf(values[:7], 1e9), momentsOf(values[7:20_000], 1e9), momentsOf(values[20_000:], 1e9)})
	if math.Abs(whole.mean-parts.mean) > 1e-12 || math.Abs(whole.squares-parts.squares) > 1e-9*whole.squares || whole.n != parts.n || whole.least != parts.least || whole.most != parts.most {
		t.Errorf("%+v, in parts %+v", whole, parts)
	}
	if d := whole.deviation(); math.Abs(d-1) > 0.02 {
		t.Errorf("standard deviation %g of unit normal values far from 0", d)
	}
}
