package selftest

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"plumbrule/rules/chart"
	"plumbrule/rules/published"
)

// flowRate is the example of the NIST/SEMATECH e-Handbook 6.3.2.2.
func flowRate() []float64 {
	return []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
}

func chartFactor(_ *bench, input string) (float64, error) {
	size, err := named(input, "n")
	if err != nil {
		return 0, err
	}
	n := int(size)
	d2, err := chart.RangeMean(n)
	if err != nil {
		return 0, err
	}
	d3, err := chart.RangeDeviation(n)
	if err != nil {
		return 0, err
	}
	c4, err := chart.DeviationBias(n)
	if err != nil {
		return 0, err
	}
	name, _, _ := strings.Cut(input, ",")
	spread := 3 * math.Sqrt(1-float64(c4*c4)) / c4
	return pick(name, map[string]float64{
		"d2": d2, "c4": c4, "A2": 3 / (d2 * math.Sqrt(size)), "A3": 3 / (c4 * math.Sqrt(size)),
		"B3": max(0, 1-spread), "B4": 1 + spread, "D3": max(0, 1-3*d3/d2), "D4": 1 + 3*d3/d2,
	})
}

func individuals(_ *bench, input string) (float64, error) {
	c, err := chart.Individuals(flowRate(), chart.Settings{})
	if err != nil {
		return 0, err
	}
	s := c.Current()
	printed, err := chart.Individuals(flowRate(), chart.Settings{Given: &chart.Given{Centre: s.Limits.Centre, Sigma: s.Range.Centre / 1.128}})
	if err != nil {
		return 0, err
	}
	p := printed.Current()
	return pick(input, map[string]float64{
		"mean": s.Limits.Centre, "mean moving range": s.Range.Centre,
		"upper limit with a printed d2 of 1.128": p.Limits.Upper, "lower limit with a printed d2 of 1.128": p.Limits.Lower,
	})
}

// isoSamples are made up to have the means and ranges that the standard prints.
func isoSamples(input string) (chart.Chart, error) {
	means, err := published.Column("mean-range-iso.csv", "mean")
	if err != nil {
		return chart.Chart{}, err
	}
	ranges, err := published.Column("mean-range-iso.csv", "range")
	if err != nil {
		return chart.Chart{}, err
	}
	var samples [][]float64
	for i, m := range means {
		samples = append(samples, []float64{m - ranges[i]/2, m, m, m, m + ranges[i]/2})
	}
	if strings.HasPrefix(input, "without sample 12") {
		samples = slices.Delete(samples, 11, 12)
	}
	return chart.MeanRange(samples, chart.Settings{Tests: chart.Tests{PointBeyond: true}})
}

func meansAndRanges(_ *bench, input string) (float64, error) {
	c, err := isoSamples(input)
	if err != nil {
		return 0, err
	}
	s := c.Current()
	_, name, _ := strings.Cut(input, ", ")
	return pick(name, map[string]float64{
		"centre": s.Limits.Centre, "lower": s.Limits.Lower, "upper": s.Limits.Upper, "mean range": s.Range.Centre, "range upper": s.Range.Upper,
	})
}

// pistonSamples are the 40 samples, of which the first 25 are the baseline.
func pistonSamples() ([][]float64, error) {
	samples := make([][]float64, 40)
	for _, name := range []string{"x1_mm", "x2_mm", "x3_mm", "x4_mm", "x5_mm"} {
		column, err := published.Column("pistonrings.csv", name)
		if err != nil {
			return nil, err
		}
		for i := range samples {
			samples[i] = append(samples[i], column[i])
		}
	}
	return samples, nil
}

func pistonRings(_ *bench, input string) (float64, error) {
	samples, err := pistonSamples()
	if err != nil {
		return 0, err
	}
	compute := chart.MeanRange
	kind, name, _ := strings.Cut(input, ", ")
	if kind == "deviations" {
		compute = chart.MeanDeviation
	}
	c, err := compute(samples, chart.Settings{Baseline: 25})
	if err != nil {
		return 0, err
	}
	s := c.Current()
	return pick(name, map[string]float64{
		"centre": s.Limits.Centre, "lower": s.Limits.Lower, "upper": s.Limits.Upper, "mean range": s.Range.Centre, "range upper": s.Range.Upper,
		"mean deviation": s.Range.Centre, "deviation upper": s.Range.Upper, "sigma": s.Sigma,
	})
}

func ewmaChart() (chart.Chart, error) {
	values, err := published.Column("ewma-handbook.csv", "x")
	if err != nil {
		return chart.Chart{}, err
	}
	return chart.EWMA(values, chart.Settings{Weight: 0.3, Given: &chart.Given{Centre: 50, Sigma: 2.0539}})
}

func ewmaLimit(_ *bench, input string) (float64, error) {
	c, err := ewmaChart()
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{"upper": c.Current().Limits.Upper, "lower": c.Current().Limits.Lower})
}

func ewmaPoint(_ *bench, input string) (float64, error) {
	c, err := ewmaChart()
	if err != nil {
		return 0, err
	}
	p, err := pointOf(c, input)
	return p.Statistic, err
}

func cusumChart() (chart.Chart, error) {
	values, err := published.Column("cusum-handbook.csv", "x")
	if err != nil {
		return chart.Chart{}, err
	}
	return chart.CUSUM(values, chart.Settings{Given: &chart.Given{Centre: 325, Sigma: 0.635}, Reference: 0.3175 / 0.635, Decision: 4.1959 / 0.635})
}

func cusumSum(_ *bench, input string) (float64, error) {
	c, err := cusumChart()
	if err != nil {
		return 0, err
	}
	p, err := pointOf(c, input)
	if strings.HasPrefix(input, "upper") {
		return p.High, err
	}
	return p.Low, err
}

// pointOf returns the point whose number ends the input.
func pointOf(c chart.Chart, input string) (chart.Point, error) {
	n, err := strconv.Atoi(input[strings.LastIndexByte(input, ' ')+1:])
	if err != nil || n < 1 || n > len(c.Points) {
		return chart.Point{}, fmt.Errorf("%q names no point of the chart", input)
	}
	return c.Points[n-1], nil
}

// chartSignals lists the points of a chart that signal.
func chartSignals(_ *bench, input string) (string, error) {
	var (
		c   chart.Chart
		err error
	)
	name, rest, _ := strings.Cut(input, ", ")
	switch name {
	case "flow rate":
		c, err = chart.Individuals(flowRate(), chart.Settings{Tests: chart.Nelson()})
	case "means and ranges":
		c, err = isoSamples(rest)
	case "piston rings":
		var samples [][]float64
		if samples, err = pistonSamples(); err == nil {
			c, err = chart.MeanRange(samples, chart.Settings{Baseline: 25, Tests: chart.Tests{PointBeyond: true}})
		}
	case "ewma":
		c, err = ewmaChart()
	case "cusum":
		c, err = cusumChart()
	default:
		err = fmt.Errorf("there is no chart %q", name)
	}
	var at []string
	for _, p := range c.Points {
		if len(p.Signals) > 0 {
			at = append(at, strconv.Itoa(p.N))
		}
	}
	return orNone(at), err
}

// runTest lists the tests that signal with their points.
func runTest(_ *bench, input string) (string, error) {
	values, err := numbersIn(input)
	if err != nil {
		return "", err
	}
	c, err := chart.Individuals(values, chart.Settings{Given: &chart.Given{Centre: 0, Sigma: 1}, Tests: chart.Nelson()})
	var all []string
	for _, p := range c.Points {
		for _, s := range p.Signals {
			all = append(all, fmt.Sprintf("%s %d", s.Test, p.N))
		}
	}
	return orNone(all), err
}

func orNone(all []string) string {
	if len(all) == 0 {
		return "none"
	}
	return strings.Join(all, " ")
}
