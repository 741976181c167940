package montecarlo

import (
	"fmt"
	"math"
	"slices"
)

// Tolerance returns δ, half a unit in the last of this many significant digits of a standard uncertainty: JCGM 101:2008 7.9.2.
// It is 0 for an uncertainty of 0.
func Tolerance(u float64, digits int) float64 {
	if !(u > 0) || math.IsInf(u, 0) {
		return 0
	}
	tens := math.Floor(math.Log10(u))
	if math.Pow(10, tens+1) <= u { // rounding of the logarithm
		tens++
	}
	return 0.5 * math.Pow(10, tens-float64(digits-1))
}

// wave is how many sequences are run before the rule is applied to each of them in turn; a number of its own, so that the
// result does not depend on the workers.
const wave = 8

// sequence is what one sequence of trials gives alone.
type sequence struct{ mean, u, low, high float64 }

// adaptive makes sequences of trials until their averages scatter less than the tolerance: JCGM 101:2008 7.9.4. Sequences
// run beyond the one that ends it are thrown away.
func (e *engine) adaptive(o Options) (Result, error) {
	size := (max(leastTrials(o.Probability), chunkTrials) + chunkTrials - 1) / chunkTrials * chunkTrials
	if 2*size > o.Trials {
		return Result{}, &InputError{
			Field: "trials", Found: fmt.Sprint(o.Trials), Expected: fmt.Sprintf("%d or more, two sequences of the adaptive procedure", 2*size),
			Mend: "allow more, or ask for a fixed number",
		}
	}
	var (
		values  []float64
		chunks  []moments
		singles []sequence
		sorted  = make([]float64, size)
		perSeq  = size / chunkTrials
	)
	finish := func(n int, delta float64, stable bool) Result {
		out := e.conclude(o, values[:n*size], chunks[:n*perSeq])
		out.Tolerance, out.Stable = delta, stable
		if !stable {
			out.Notes = append(out.Notes, fmt.Sprintf("After %d trials the figures are not yet stable to %.2g.", out.Trials, delta))
		}
		return out
	}
	for {
		n := min(wave, o.Trials/size-len(singles))
		if n == 0 {
			return finish(len(singles), e.tolerance(o, together(chunks)), false), nil
		}
		from := len(values)
		values = slices.Grow(values, n*size)[:from+n*size]
		more, err := e.run(values[from:])
		if err != nil {
			return Result{}, err
		}
		chunks = append(chunks, more...)
		for range n {
			h := len(singles)
			copy(sorted, values[h*size:])
			slices.Sort(sorted)
			span, first := ranks(o.Probability, size)
			m := together(chunks[h*perSeq : (h+1)*perSeq])
			singles = append(singles, sequence{mean: m.mean, u: m.deviation(), low: sorted[first-1], high: sorted[first+span-1]})
			delta := e.tolerance(o, together(chunks[:(h+1)*perSeq]))
			if stable(singles, delta) {
				return finish(h+1, delta, true), nil
			}
		}
	}
}

func (e *engine) tolerance(o Options, all moments) float64 {
	return o.Tolerance * Tolerance(all.deviation(), o.Digits)
}

// stable reports whether twice the standard deviation of each average lies within the tolerance.
func stable(all []sequence, delta float64) bool {
	if len(all) < 2 {
		return false
	}
	for _, of := range []func(sequence) float64{
		func(s sequence) float64 { return s.mean }, func(s sequence) float64 { return s.u },
		func(s sequence) float64 { return s.low }, func(s sequence) float64 { return s.high },
	} {
		n, mean, squares := float64(len(all)), 0.0, 0.0
		for _, s := range all {
			mean += (of(s) - of(all[0])) / n
		}
		for _, s := range all {
			d := of(s) - of(all[0]) - mean
			squares += float64(d * d)
		}
		if 2*math.Sqrt(squares/(n*(n-1))) > delta {
			return false
		}
	}
	return true
}
