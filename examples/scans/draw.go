package main

import "math/rand/v2"

// draws is a stream of random numbers that depends on its seed alone: permuted congruential numbers (M. E. O'Neill, PCG,
// 2014), as the standard library has them.
type draws struct{ source *rand.PCG }

func newDraws(seed, stream uint64) draws { return draws{rand.NewPCG(seed, stream)} }

// uniform returns a number from 0 to below 1.
func (d draws) uniform() float64 { return float64(d.source.Uint64()>>11) * 0x1p-53 }

// between returns a number from a to below b.
func (d draws) between(a, b float64) float64 { return a + float64((b-a)*d.uniform()) }

// normal returns a number with mean 0 and standard deviation 1 as the sum of twelve uniform ones: its bytes hang on no
// library function, and it never leaves ±6, so that what lies farther off is an outlier by intent.
func (d draws) normal() float64 {
	sum := -6.0
	for range 12 {
		sum += d.uniform()
	}
	return sum
}
