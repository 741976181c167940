package chart

import (
	"fmt"
	"math"
)

// Individuals charts single values with the moving range of neighbours. In each
// segment the centre is the mean of the baseline, sigma its mean moving range
// divided by d2(2) = 2/√π, and the limits lie three sigma either side of the
// centre; the moving range has the centre MR̄, the upper limit D4(2)·MR̄ and the
// lower limit 0 (NIST/SEMATECH e-Handbook 6.3.2.2, with unrounded constants).
// Neither ranges nor runs cross a restart. Of the tests only PointBeyond is
// applied to the moving ranges, because neighbouring ranges share a value.
//
// An error is returned for no values, a value that is not finite, and settings
// that contradict themselves or the values.
func Individuals(values []float64, s Settings) (Chart, error) {
	if err := s.check(KindIndividuals, values); err != nil {
		return Chart{}, err
	}
	c := Chart{
		Kind:   KindIndividuals,
		Points: make([]Point, 0, len(values)),
		Range:  make([]Point, 0, len(values)),
	}
	numbers := count(len(values))
	bounds := s.bounds(len(values))
	for i := range len(bounds) - 1 {
		first, end := bounds[i], bounds[i+1]
		segment := Segment{First: first + 1, Last: end}
		var tolerance float64
		if s.Given != nil {
			tolerance = rounding(s.Given.Sigma, s.Given.Centre)
			segment.Limits, segment.Range = limits(s.Given.Centre, s.Given.Sigma)
		} else {
			base := measure(values[first:min(end, first+s.baseline(end-first))])
			segment.Baseline = base.count
			if base.sigma > 0 {
				tolerance = base.same
				segment.Limits, segment.Range = limits(base.mean, base.sigma)
				segment.Provisional = base.count < s.minimum() || base.count < s.Baseline
			}
			c.Warnings = append(c.Warnings, s.warnings(&segment, i, base, len(bounds) > 2)...)
		}
		if !segment.finite() {
			return Chart{}, fmt.Errorf("points %d to %d are too large to chart; expected values below 1e300", first+1, end)
		}
		c.Segments = append(c.Segments, segment)
		for j := first; j < end; j++ {
			c.Points = append(c.Points, Point{N: j + 1, Segment: i, Value: values[j], Limits: segment.Limits})
			if j > first {
				c.Range = append(c.Range, Point{N: j + 1, Segment: i, Value: math.Abs(values[j] - values[j-1]), Limits: segment.Range})
			}
		}
		s.Tests.run(c.Points[first:end], numbers, tolerance)
		Tests{PointBeyond: s.Tests.PointBeyond}.run(c.Range[len(c.Range)-(end-first-1):], numbers, tolerance)
	}
	return c, nil
}

// limits returns the limits of single values and of their moving ranges. The
// range of two values has the half-normal distribution of their difference,
// hence the closed forms d2(2) = 2/√π and d3(2) = √(2-4/π).
func limits(centre, sigma float64) (values, ranges *Limits) {
	values = &Limits{
		Centre: centre, Sigma: sigma,
		Lower: centre - float64(3*sigma),
		Upper: centre + float64(3*sigma),
	}
	return values, rangeLimits(sigma*(2/math.Sqrt(math.Pi)), sigma*math.Sqrt(2-4/math.Pi))
}

// finite reports that nothing overflowed.
func (s Segment) finite() bool {
	for _, l := range []*Limits{s.Limits, s.Range} {
		if l == nil {
			continue
		}
		if width := l.Upper - l.Lower; math.IsNaN(width) || math.IsInf(width, 0) {
			return false
		}
	}
	return true
}

// count returns 1 to n, which signals share by slicing.
func count(n int) []int {
	numbers := make([]int, n)
	for i := range numbers {
		numbers[i] = i + 1
	}
	return numbers
}
