package chart_test

import "math/rand/v2"

// noise returns standard normal values, the same ones every time.
func noise(n int) []float64 {
	random := rand.New(rand.NewPCG(3, 5))
	out := make([]float64, n)
	for i := range out {
		out[i] = random.NormFloat64()
	}
	return out
}
