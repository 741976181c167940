package interval

import "math"

// highestRate returns the rate at which so few failures, or fewer, have probability alpha; some outcome is in tolerance.
func (f Fit) highestRate(alpha float64) float64 {
	if months, one := f.oneLength(); one {
		return -math.Log(lowerLimit(f.InTolerance, f.Trials, alpha)) / months
	}
	if f.InTolerance == f.Trials {
		// All in tolerance has probability e^(−λ·Σt).
		return -math.Log(alpha) / f.sumMonths()
	}
	failures := f.Trials - f.InTolerance
	low, high := f.rateRange()
	return root(low, high, func(rate float64) float64 { return f.atMostFailures(failures, rate) - alpha })
}

// lowestRate returns the rate at which so many failures, or more, have probability alpha; some outcome is out of tolerance.
func (f Fit) lowestRate(alpha float64) float64 {
	failures := f.Trials - f.InTolerance
	if months, one := f.oneLength(); one {
		return -math.Log1p(-lowerLimit(failures, f.Trials, alpha)) / months
	}
	low, high := f.rateRange()
	return root(low, high, func(rate float64) float64 { return f.atMostFailures(failures-1, rate) - (1 - alpha) })
}

func (f Fit) oneLength() (months float64, one bool) {
	for _, g := range f.Groups[1:] {
		if g.Months != f.Groups[0].Months {
			return 0, false
		}
	}
	return f.Groups[0].Months, true
}

func (f Fit) sumMonths() float64 {
	sum := 0.0
	for _, g := range f.Groups {
		sum += float64(float64(g.Trials) * g.Months)
	}
	return sum
}

// rateRange encloses every limit: at its ends failures are next to impossible, or next to certain, for all groups.
func (f Fit) rateRange() (low, high float64) {
	shortest, longest := f.Groups[0].Months, f.Groups[0].Months
	for _, g := range f.Groups {
		shortest, longest = min(shortest, g.Months), max(longest, g.Months)
	}
	return 1e-15 / longest, 700 / shortest
}

// atMostFailures returns the probability of at most k failures among all outcomes. Every term is positive, so nothing
// cancels.
func (f Fit) atMostFailures(k int, rate float64) float64 {
	law := make([]float64, k+1) // probability of exactly i failures so far
	law[0] = 1
	seen := 0
	for _, g := range f.Groups {
		stays := math.Exp(-rate * g.Months)
		fails := -math.Expm1(-rate * g.Months)
		for range g.Trials {
			seen++
			for i := min(k, seen); i > 0; i-- {
				law[i] = float64(law[i]*stays) + float64(law[i-1]*fails)
			}
			law[0] *= stays
		}
	}
	sum := 0.0
	for _, p := range law {
		sum += p
	}
	return sum
}
