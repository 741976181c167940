package drawing

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// gapFactor is how many times the usual distance between neighbouring points a
// line may span. Wider, it would show a course that nobody has measured. The
// choice is our own, without a source.
const gapFactor = 3

// gaps returns the indexes of the points before which more than gapFactor times
// the usual distance lies, and that distance: the median of all, in seconds.
func (p Picture) gaps() (at []int, usual float64) {
	n := len(p.Chart.Points)
	if !p.dated() || n < 4 {
		return nil, 0 // too few distances to call one of them usual
	}
	distances := make([]float64, n-1)
	for i := range distances {
		distances[i] = seconds(p.Points[i].When, p.Points[i+1].When)
	}
	if usual = slices.Sorted(slices.Values(distances))[(n-1)/2]; usual <= 0 {
		return nil, 0
	}
	for i, d := range distances {
		if d > gapFactor*usual {
			at = append(at, i+1)
		}
	}
	return at, usual
}

// mostGaps is how many gaps are told in words, the widest.
const mostGaps = 3

// gapWords tells gaps in the order of time.
func (p Picture) gapWords() []string {
	at, usual := p.gaps()
	width := func(i int) float64 { return seconds(p.Points[i-1].When, p.Points[i].When) }
	told := slices.Clone(at)
	if len(told) > mostGaps {
		slices.SortStableFunc(told, func(i, j int) int { return cmp.Compare(width(j), width(i)) })
		told = told[:mostGaps]
		slices.Sort(told)
	}
	var out []string
	for _, i := range told {
		out = append(out, fmt.Sprintf("gap: no point between %s and %s, %s where %s are usual", p.when(i-1), p.when(i), lapse(width(i)), lapse(usual)))
	}
	if more := len(at) - len(told); more > 0 {
		out = append(out, fmt.Sprintf("gap: and %d narrower of more than %d times the usual distance", more, gapFactor))
	}
	return out
}

// lapse prints seconds in a unit that suits them.
func lapse(s float64) string {
	const hour, day = 3600, 86400
	switch {
	case s >= 2*day:
		return fmt.Sprintf("%.0f days", s/day)
	case s >= 2*hour:
		return fmt.Sprintf("%.0f hours", s/hour)
	case s >= 120:
		return fmt.Sprintf("%.0f minutes", s/60)
	}
	return fmt.Sprintf("%s seconds", figure(s, float64(time.Millisecond)/float64(time.Second)))
}
