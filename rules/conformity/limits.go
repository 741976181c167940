package conformity

import "math"

// The claims of ISO 14253-1:2017 are proved at 95 % unless agreed otherwise, and this package knows no agreement.
const (
	provedInside  = 0.95
	provedOutside = 0.05
)

// oneSidedFactor is the 95 % point of the standard normal law, the distance in u of a single limit's guard band
// (1.65 in the rounded form of ISO 14253-1:2017).
const oneSidedFactor = 1.6448536269514722

// publishedFactor is the rounded guard factor of ISO 14253-1:2017, kept to tell where it and the probability disagree.
const publishedFactor = 1.65

// beyondAnyDoubt is a distance in u past which the normal tail is 0 in double precision.
const beyondAnyDoubt = 40

// wide is a width in u from which on the far limit is so far that what it adds to a probability of 0.05 is below the last bit:
// its tail, beyond 10 u, is under 1e-23. Then each limit has the factor of a single one.
const wide = 12

// acceptanceFactor returns how many u inside a limit the conformance probability is exactly 0.95, for an interval of
// the given width in u. It grows from 1.6449 to 1.9600 as the interval narrows to 3.92 u; below that even the middle
// stays under 0.95 and ok is false. The answer is exact to the last bits of the tail probability.
func acceptanceFactor(width float64) (factor float64, ok bool) {
	if width >= wide {
		return oneSidedFactor, true
	}
	missed := func(g float64) float64 { return upperTail(g) + upperTail(width-g) }
	middle := math.Min(width/2, beyondAnyDoubt)
	if missed(middle) > 1-provedInside {
		return 0, false
	}
	return bisect(0, middle, func(g float64) bool { return missed(g) > 1-provedInside }), true
}

// rejectionFactor returns how many u outside a limit the conformance probability is exactly 0.05. Below a width of
// about 0.126 u the probability is under 0.05 on the limit already, and ok is false.
func rejectionFactor(width float64) (factor float64, ok bool) {
	if width >= wide {
		return oneSidedFactor, true
	}
	inside := func(h float64) float64 { return upperTail(h) - upperTail(h+width) }
	if inside(0) <= provedOutside {
		return 0, false
	}
	return bisect(0, beyondAnyDoubt, func(h float64) bool { return inside(h) > provedOutside }), true
}

// bisect returns the point where below turns from true to false, to the last bit: it halves until no number is left
// between the ends, and returns the end where below is false.
func bisect(low, high float64, below func(float64) bool) float64 {
	for {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			return high
		}
		if below(middle) {
			low = middle
		} else {
			high = middle
		}
	}
}
