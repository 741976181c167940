package chart

import (
	"fmt"
	"slices"
)

// MeanRange charts the means of samples with their ranges. In each segment the
// centre is the mean of all readings of the baseline, that is the mean of the
// sample means weighted by sample size; sigma, of a single reading, comes from
// the ranges within the samples (with equal sizes R̄/d2(n); with unequal sizes
// each R/d2(n) is weighted by d2²/d3²). The limits of a mean of n lie 3σ/√n
// either side of the centre, those of a range of n at D3(n) and D4(n) times
// d2(n)·σ; each point has the limits of its own size (Shewhart; ISO 7870-2).
// The run tests are applied to the means as to single values, PointBeyond also
// to the ranges.
//
// Missing repeats make a smaller sample with limits of its own. A sample of
// fewer than 2 or more than 100 readings is refused with an error; other errors
// are as for Individuals.
func MeanRange(samples [][]float64, s Settings) (Chart, error) {
	return means(KindMeanRange, samples, s)
}

// MeanDeviation charts the means of samples with their standard deviations
// (divisor n-1). It differs from MeanRange in that sigma comes from the standard
// deviations (with equal sizes s̄/c4(n); with unequal sizes each s/c4(n) is
// weighted by c4²/(1-c4²)), that those have the limits B3(n) and B4(n) times
// c4(n)·σ, and that a sample may be of any size from 2. Widened limits use the
// pooled variance, for which Student's t is exact.
func MeanDeviation(samples [][]float64, s Settings) (Chart, error) {
	return means(KindMeanDeviation, samples, s)
}

// means computes a chart of samples.
func means(kind Kind, samples [][]float64, s Settings) (Chart, error) {
	e, err := newEngine(kind, s)
	if err != nil {
		return Chart{}, err
	}
	e.samples = samples
	e.values, e.spreads = make([]float64, 0, len(samples)), make([]float64, 0, len(samples))
	for i, sample := range samples {
		if err := e.takeSample(sample, i); err != nil {
			return Chart{}, err
		}
	}
	return e.all()
}

// takeSample checks a sample and notes its mean and dispersion.
func (e *engine) takeSample(sample []float64, i int) error {
	for _, v := range sample {
		if !finite(v) {
			return fmt.Errorf("a reading of %v in the sample at index %d; expected finite numbers", v, i)
		}
	}
	switch n := len(sample); {
	case n == 0:
		return fmt.Errorf("the sample at index %d is empty; leave it out", i)
	case n == 1:
		return fmt.Errorf("a single reading in the sample at index %d shows no spread within; expected at least 2 readings in each sample, or a chart of individuals", i)
	case n > maxSample && e.kind == KindMeanRange:
		return fmt.Errorf("%d readings in the sample at index %d; expected at most %d for a range, or a chart of means and standard deviations", n, i, maxSample)
	}
	centre, spread := mean(sample), slices.Max(sample)-slices.Min(sample)
	if e.kind == KindMeanDeviation {
		spread = deviation(sample, centre)
	}
	if !finite(centre, spread) {
		return fmt.Errorf("the readings of the sample at index %d are too large to chart; expected values below 1e300", i)
	}
	e.values, e.spreads = append(e.values, centre), append(e.spreads, spread)
	return nil
}
