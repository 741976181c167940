package drift

import (
	"math"
	"slices"
)

// mostExact is the number of points up to which Kendall's distribution is counted out.
const mostExact = 50

// outsideExact returns m such that the true slope lies outside the m-th smallest and m-th largest slope with at most the
// probability tail on each side, or 0 if there is none. The number of pairwise slopes below the true one has the
// distribution of the inversions of a random permutation (Kendall 1938, Biometrika 30, 81–93).
func outsideExact(n int, tail float64) int {
	chance := []float64{1} // of 0, 1, … inversions among the first k
	for k := 2; k <= n; k++ {
		next := make([]float64, len(chance)+k-1)
		for i, p := range chance {
			for j := range k {
				next[i+j] += p / float64(k)
			}
		}
		chance = next
	}
	// The limit is compared with a sum of rounded terms; a level that equals an attainable one shall attain it.
	limit := tail * (1 + 1e-9)
	m, sum := 0, 0.0
	for sum+chance[m] <= limit {
		sum += chance[m]
		m++
	}
	return m
}

// outsideApproximately does the same with the normal law and the variance of Kendall's sum for the groups of equal x
// (Sen 1968, section 2), rounded to the wider interval.
func outsideApproximately(n, pairs int, ties []int, level float64) int {
	term := func(k int) float64 { return float64(k) * float64(k-1) * float64(2*k+5) }
	variance := term(n)
	for _, size := range ties {
		variance -= term(size)
	}
	deviation := normalQuantile((1+level)/2) * math.Sqrt(variance/18)
	return int(math.Floor((float64(pairs) - deviation) / 2))
}

// tied returns the sizes, 2 or more, of the groups of equal values.
func tied(values []float64) []int {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	var out []int
	size := 1
	for i := 1; i <= len(sorted); i++ {
		if i < len(sorted) && sorted[i] == sorted[i-1] {
			size++
			continue
		}
		if size > 1 {
			out = append(out, size)
		}
		size = 1
	}
	return out
}

// distinct returns how many different values there are.
func distinct(values []float64) int {
	n := len(values)
	for _, size := range tied(values) {
		n -= size - 1
	}
	return n
}
