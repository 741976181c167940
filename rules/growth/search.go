package growth

import "math"

// climb returns where a function with one hill between low and high has its top, by golden sections.
func climb(of func(float64) float64, low, high float64) float64 {
	const golden = 0.6180339887498949
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := of(a), of(b)
	for range 36 { // 3e-8 of the distance
		if fa > fb {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = of(a)
		} else {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = of(b)
		}
	}
	return low + (high-low)/2
}

// edge returns the place between low and high where a condition that is true at low ends.
func edge(low, high float64, is func(float64) bool) float64 {
	for range 24 { // 6e-8 of the distance, finer than a likelihood tells
		middle := low + (high-low)/2
		if is(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low + (high-low)/2
}

// root returns where a rising distribution function less a probability is 0, between low and high: regula falsi, with the
// value at the end that stays put halved (the Illinois rule; Dowell and Jarratt 1971, BIT 11, 168–174). Few steps matter,
// because each is a sum of incomplete beta functions.
func root(low, high float64, of func(float64) float64) float64 {
	const settled = 1e-11 // of probability
	atLow, atHigh := of(low), of(high)
	switch {
	case atLow >= 0:
		return low
	case atHigh <= settled:
		return high
	}
	stayed := 0
	for range 60 {
		middle := low + (high-low)*(-atLow/(atHigh-atLow))
		at := of(middle)
		switch {
		case math.Abs(at) <= settled:
			return middle
		case at < 0:
			low, atLow = middle, at
			if stayed > 0 {
				atHigh /= 2
			}
			stayed = 1
		default:
			high, atHigh = middle, at
			if stayed < 0 {
				atLow /= 2
			}
			stayed = -1
		}
	}
	return high
}
