package sample

import "plumbrule/rules/figure"

// Extreme is a value and its place, counted from 0, in the slice that was given.
type Extreme struct {
	Index int
	Value float64
}

// Summary describes a sample. All figures but the counts and the autocorrelation are in the unit of the values.
type Summary struct {
	N    int
	Mean float64
	// SD is the standard deviation with n−1, 0 or more; absent for one value.
	SD Figure
	// Autocorrelation is that of lag 1, −1 … 1: Σ(xᵢ−x̄)(xᵢ₊₁−x̄)/Σ(xᵢ−x̄)², the definition of e-Handbook 1.3.5.12 and of
	// the NIST StRD. Absent for one value and for values that are all the same.
	Autocorrelation Figure
	// Smallest and Largest are the first of their value.
	Smallest, Largest Extreme
}

// Summarise describes one or more finite values in the order they were taken.
//
// An error is returned for no values and for one that is not finite or beyond 1e290 in magnitude.
func Summarise(values []float64) (Summary, error) {
	if err := check(values, 1); err != nil {
		return Summary{}, err
	}
	m := measure(values)
	s := Summary{N: len(values), Mean: m.mean, Smallest: Extreme{0, values[0]}, Largest: Extreme{0, values[0]}}
	for i, v := range values {
		if v < s.Smallest.Value {
			s.Smallest = Extreme{i, v}
		}
		if v > s.Largest.Value {
			s.Largest = Extreme{i, v}
		}
	}
	switch {
	case s.N == 1:
		s.SD = figure.Absentf("one value shows no spread; it takes 2")
		s.Autocorrelation = figure.Absentf("one value has no neighbour; it takes 2")
	case m.constant:
		s.SD = figure.Known(m.sd)
		s.Autocorrelation = figure.Absentf("all %d values are the same", s.N)
	default:
		s.SD = figure.Known(m.sd)
		s.Autocorrelation = figure.Known(autocorrelation(m))
	}
	return s, nil
}

func autocorrelation(m moments) float64 {
	products := make([]float64, 0, len(m.deviations))
	squares := make([]float64, 0, len(m.deviations))
	for i, d := range m.deviations {
		scaled := d / m.sd
		squares = append(squares, scaled*scaled)
		if i > 0 {
			products = append(products, scaled*(m.deviations[i-1]/m.sd))
		}
	}
	return sum(products) / sum(squares)
}
