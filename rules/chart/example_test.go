package chart_test

import (
	"fmt"

	"plumbrule/rules/chart"
)

func ExampleMeanRange() {
	// The third check lacks a repeat.
	checks := [][]float64{{2.1, 2.4, 2.2}, {1.9, 2.2, 2.4}, {2.3, 2.0}, {2.6, 2.2, 2.3}}
	c, err := chart.MeanRange(checks, chart.Settings{Minimum: 4, Tests: chart.Nelson()})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, p := range c.Points {
		fmt.Printf("mean %.3f within %.3f to %.3f, range %.1f up to %.3f\n", p.Value, p.Limits.Lower, p.Limits.Upper, c.Range[i].Value, c.Range[i].Limits.Upper)
	}
	// Output:
	// mean 2.233 within 1.820 to 2.653, range 0.3 up to 1.048
	// mean 2.167 within 1.820 to 2.653, range 0.5 up to 1.048
	// mean 2.150 within 1.726 to 2.746, range 0.3 up to 0.886
	// mean 2.367 within 1.820 to 2.653, range 0.4 up to 1.048
}

func ExampleCUSUM() {
	values := []float64{0.2, -0.4, 0.9, 2.1, 1.8, 1.2, 2.4}
	c, err := chart.CUSUM(values, chart.Settings{Given: &chart.Given{Centre: 0, Sigma: 1}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range c.Points {
		for _, s := range p.Signals {
			fmt.Printf("point %d: %.1f, %s\n", p.N, p.High, s.Words())
		}
	}
	// Output:
	// point 7: 5.9, the upper cumulative sum, above 0 for 5 points, is beyond the decision value
}

func ExampleState() {
	state, err := chart.NewState(chart.Settings{Kind: chart.KindEWMA, Given: &chart.Given{Centre: 10, Sigma: 0.5}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, v := range []float64{10.2, 10.9, 11.4} {
		c, err := state.Append(v)
		if err != nil {
			fmt.Println(err)
			return
		}
		p := c.Points[len(c.Points)-1]
		fmt.Printf("average %.3f, upper limit %.3f, signals %d\n", p.Statistic, p.Limits.Upper, len(p.Signals))
	}
	// Output:
	// average 10.040, upper limit 10.300, signals 0
	// average 10.212, upper limit 10.384, signals 0
	// average 10.450, upper limit 10.429, signals 1
}

func ExampleRunLength() {
	tests := chart.Tests{PointBeyond: true, SameSide: 9}
	for _, shift := range []float64{0, 1, 2} {
		length, err := chart.RunLength(chart.Scheme{Tests: tests}, shift)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("off by %v sigma: a signal after %.1f points on average\n", shift, length)
	}
	// Output:
	// off by 0 sigma: a signal after 216.7 points on average
	// off by 1 sigma: a signal after 17.1 points on average
	// off by 2 sigma: a signal after 5.1 points on average
}
