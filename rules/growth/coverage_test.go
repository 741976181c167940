package growth_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"plumbrule/rules/growth"
)

// Simulated devices with a known truth: the intervals hold it about as often as they say, and the bound about the share
// of further errors. The binomial standard deviation of a coverage of 0.95 in 200 cases is 0.015.
func TestIntervalsHoldTheTruth(t *testing.T) {
	const (
		cases                         = 200
		constant, scale               = 1.0, 2.0
		spreadConstant, spreadPerMetr = 1.5, 0.8
	)
	random := rand.New(rand.NewPCG(7, 8))
	held := map[string]int{}
	inside := 0.0
	for range cases {
		checks := make([]growth.Check, 30)
		for i := range checks {
			path := 0.5 + 5.5*float64(i)/29
			checks[i] = growth.Check{PathM: path, ErrorUM: constant + scale*path + (spreadConstant+spreadPerMetr*path)*random.NormFloat64()}
		}
		g := estimate(t, checks, growth.Claim{ConstantUM: 10, PerMetreUM: 10})
		for _, p := range []struct {
			what  string
			p     growth.Parameter
			truth float64
		}{
			{"constant", g.Scale.ConstantUM, constant},
			{"scale error", g.Scale.PerMetreUM, scale},
			{"constant of the spread", g.Spread.ConstantUM, spreadConstant},
			{"growth of the spread", g.Spread.PerMetreUM, spreadPerMetr},
		} {
			if *p.p.Lower.Value <= p.truth && p.truth <= *p.p.Upper.Value {
				held[p.what]++
			}
		}
		for i := range 12 {
			path := 0.5 + 5.5*float64(i)/11
			bound := *g.Bound.ConstantUM.Value + *g.Bound.PerMetreUM.Value*path
			mean, sd := constant+scale*path, spreadConstant+spreadPerMetr*path
			inside += (math.Erf((bound-mean)/sd/math.Sqrt2) + math.Erf((bound+mean)/sd/math.Sqrt2)) / 2 / 12 / cases
		}
	}
	if len(held) != 4 {
		t.Errorf("intervals that ever held: %v", held)
	}
	for what, n := range held {
		near(t, "coverage of the "+what, float64(n)/cases, 0.95, 0.046)
	}
	near(t, "share inside the bound", inside, 0.955, 0.02)
	t.Logf("held %v of %d, inside %.4f", held, cases, inside)
}
