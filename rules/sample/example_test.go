package sample_test

import (
	"fmt"

	"plumbrule/rules/sample"
)

func ExampleSummarise() {
	s, err := sample.Summarise([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("n %d, mean %.2f, s %.3f, lag-1 autocorrelation %.2f\n", s.N, s.Mean, *s.SD.Value, *s.Autocorrelation.Value)
	one, _ := sample.Summarise([]float64{49.6})
	fmt.Println("s:", one.SD.Reason)
	// Output:
	// n 10, mean 50.81, s 2.034, lag-1 autocorrelation 0.41
	// s: one value shows no spread; it takes 2
}

func ExampleGrubbs() {
	g, err := sample.Grubbs([]float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}, sample.LargestSide, 0.05)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f is %.3f s from the mean, allowed %.3f: outlier %v\n", g.Suspect.Value, *g.Statistic.Value, g.Critical, g.Outlier)
	// Output:
	// 245.57 is 2.469 s from the mean, allowed 2.032: outlier true
}
