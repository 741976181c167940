package sample

import "math"

// IndependenceLimit returns how far from 0, either side, chance takes the lag-1 autocorrelation of n independent values in 95 %
// of cases: z(0.975)/√n, a pure number, good for n from about 20. It is +Inf for n below 1.
//
// Source: e-Handbook 1.3.3.1.
func IndependenceLimit(n int) float64 {
	const z = 1.959963984540054 // of the standard normal law
	if n < 1 {
		return math.Inf(1)
	}
	return z / math.Sqrt(float64(n))
}
