package chart

import "fmt"

// Individuals charts single values with the moving range of neighbours. In each
// segment the centre is the mean of the baseline, sigma its mean moving range
// divided by d2(2) = 2/√π, and the limits lie three sigma either side of the
// centre; the moving range has the centre MR̄, the upper limit D4(2)·MR̄ and the
// lower limit 0 (NIST/SEMATECH e-Handbook 6.3.2.2, with unrounded constants).
// With SpreadDeviation sigma is the standard deviation of the baseline instead,
// and the limits of the moving range follow from it.
// Neither ranges nor runs cross a restart. Of the tests only PointBeyond is
// applied to the moving ranges, because neighbouring ranges share a value.
//
// An error is returned for no values, a value that is not finite, and settings
// that contradict themselves or the values.
func Individuals(values []float64, s Settings) (Chart, error) {
	return singles(KindIndividuals, values, s)
}

// singles computes a chart of single values.
func singles(kind Kind, values []float64, s Settings) (Chart, error) {
	e, err := newEngine(kind, s)
	if err != nil {
		return Chart{}, err
	}
	for i, v := range values {
		if err := checkValue(v, i); err != nil {
			return Chart{}, err
		}
	}
	e.values = values
	return e.all()
}

func checkValue(v float64, i int) error {
	if !finite(v) {
		return fmt.Errorf("value %v at index %d; expected a finite number", v, i)
	}
	return nil
}
