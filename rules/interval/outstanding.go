package interval

import (
	"fmt"
	"math"
	"slices"
)

// outstanding names the devices that have more failures than chance explains if all devices fail alike, in the order of
// their names.
//
// Each device is compared with the others by the exact test of Fisher (hypergeometric, one-sided); the significance is
// divided by the number of devices (Bonferroni), because the worst of many looks bad by chance.
func outstanding(outcomes []Outcome, significance float64) []string {
	trials, failures := map[string]int{}, map[string]int{}
	failed := 0
	for _, o := range outcomes {
		trials[o.Subject]++
		if !o.InTolerance {
			failures[o.Subject]++
			failed++
		}
	}
	var names []string
	for name := range failures {
		names = append(names, name)
	}
	slices.Sort(names)
	var sentences []string
	for _, name := range names {
		p := fisher(failures[name], trials[name], failed, len(outcomes))
		if rejected(p*float64(len(trials)), significance) {
			sentences = append(sentences, fmt.Sprintf(
				"%s has %d of the %d failures in %d of %d outcomes, more than chance explains: review it by itself, and the kind without it.",
				name, failures[name], failed, trials[name], len(outcomes)))
		}
	}
	return sentences
}

// fisher returns the probability that a random draw of n out of all outcomes holds at least k of the failed ones.
func fisher(k, n, failed, all int) float64 {
	sum := 0.0
	for i := k; i <= min(n, failed); i++ {
		sum += math.Exp(logChoose(failed, i) + logChoose(all-failed, n-i) - logChoose(all, n))
	}
	return min(1, sum)
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}
