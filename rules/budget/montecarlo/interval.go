package montecarlo

import (
	"math"
	"slices"
	"sync"
)

// Interval is a coverage interval.
type Interval struct{ Low, High float64 }

// intervals are what the ordered values of all trials give.
type intervals struct {
	symmetric, shortest Interval
	// Standard uncertainties of the ends of the symmetric interval, from the spread of the ordered values around them.
	lowU, highU float64
}

// ranks returns how many values an interval of probability p spans and the rank, from 1, at which the probabilistically
// symmetric one begins: JCGM 101:2008 7.7.
func ranks(p float64, trials int) (span, first int) {
	span = int(p*float64(trials) + 0.5)
	return span, (trials - span + 1) / 2
}

// intervalsOf orders the values as far as the intervals need, in their place. There must be enough of them for an interval
// of probability p to leave some out: see leastTrials.
func intervalsOf(values []float64, p float64, workers int) intervals {
	span, first := ranks(p, len(values))
	spread := int(math.Ceil(math.Sqrt(float64(first) * (1 - float64(first)/float64(len(values))))))
	order(values, len(values)-span+spread, workers)
	out := intervals{symmetric: Interval{values[first-1], values[first+span-1]}}
	at := func(rank int) float64 { return values[min(max(rank, 1), len(values))-1] }
	out.lowU = (at(first+spread) - at(first-spread)) / 2
	out.highU = (at(first+span+spread) - at(first+span-spread)) / 2
	out.shortest = Interval{values[0], values[span]}
	for r := range len(values) - span {
		if i := (Interval{values[r], values[r+span]}); i.High-i.Low < out.shortest.High-out.shortest.Low {
			out.shortest = i
		}
	}
	return out
}

// sampleSize is how many values the bounds of the tails are guessed from.
const sampleSize = 20_000

// order puts the lowest and the highest values, as many as wanted on each side, to their places in ascending order; those
// between stay unordered in the middle. Everything is ordered where that is hardly more work.
//
// One pass brings the values beyond two bounds to the ends. The bounds are guessed from a sample so that the tails come out
// a little too long; should they be too short all the same, everything is ordered. Either way the order is the same.
func order(values []float64, wanted, workers int) {
	if len(values) < 5*sampleSize || wanted > len(values)/4 {
		slices.Sort(values)
		return
	}
	sample := make([]float64, 0, sampleSize)
	for i := range sampleSize {
		sample = append(sample, values[i*(len(values)/sampleSize)])
	}
	slices.Sort(sample)
	share := float64(wanted) / float64(len(values))
	tail := int((share + 5*math.Sqrt(share/sampleSize)) * sampleSize)
	low, high := sample[min(tail, sampleSize/2-1)], sample[max(sampleSize-1-tail, sampleSize/2)]
	below, above := 0, len(values)
	for i := 0; i < above; {
		switch v := values[i]; {
		case v <= low:
			values[i], values[below] = values[below], v
			below++
			i++
		case v >= high:
			above--
			values[i], values[above] = values[above], v
		default:
			i++
		}
	}
	if below < wanted || len(values)-above < wanted {
		slices.Sort(values)
		return
	}
	if workers < 2 {
		slices.Sort(values[:below])
		slices.Sort(values[above:])
		return
	}
	var done sync.WaitGroup
	done.Go(func() { slices.Sort(values[:below]) })
	done.Go(func() { slices.Sort(values[above:]) })
	done.Wait()
}
