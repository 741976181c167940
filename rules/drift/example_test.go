package drift_test

import (
	"fmt"

	"plumbrule/rules/drift"
)

func ExampleTrend() {
	points := []drift.Point{{0, -9}, {90, -6}, {180, -2}, {270, 1}, {300, -1}, {390, 1}, {480, 0}, {570, 4}, {660, 5}, {750, 6}, {840, 9}}
	adjusted := []int{4}
	d, err := drift.Trend(points, adjusted, drift.Question{LowerUM: -15, UpperUM: 15, Level: 0.95, Today: 840, HorizonDays: 365})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range d.Segments {
		fmt.Printf("points %d to %d: %+.4f µm a day\n", s.First, s.Last, s.Line.Slope)
	}
	fmt.Println(d.Forecast.Outcome, "-", d.Forecast.Reason)
	// Output:
	// points 0 to 3: +0.0378 µm a day
	// points 4 to 10: +0.0179 µm a day
	// meets-limit - the prediction band at 0.95 of 7 points meets 15 µm on day 1007
}

func ExampleLine_Crossings() {
	line, err := drift.Fit([]float64{0, 90, 180, 270, 360, 450, 540}, []float64{2, 4, 3, 7, 8, 9, 12})
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := line.Crossings(15, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("the line meets 15 µm on day %.0f, a reading may from day %.0f on\n", *c.Estimate.Value, *c.Prediction.Lower.Value)
	// Output:
	// the line meets 15 µm on day 750, a reading may from day 565 on
}

func ExampleCompare() {
	var size, distance drift.Series
	size.Artifact, size.Quantity = "bar-1", drift.Size
	distance.Artifact, distance.Quantity = "bar-1", drift.Distance
	for i, scatter := range []float64{0.2, -0.3, 0.1, 0.4, -0.2, -0.4, 0.3} {
		day := float64(30 * i)
		size.Points = append(size.Points, drift.Point{Day: day, ErrorUM: 0.02*day + scatter})
		distance.Points = append(distance.Points, drift.Point{Day: day, ErrorUM: -scatter})
	}
	c, err := drift.Compare([]drift.Series{size, distance}, nil, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range c.Findings {
		fmt.Println(f.Cause, "-", f.Sentence)
	}
	// Output:
	// sphere-surface - size of bar-1 drifts by 0.0198 µm a day (0.0129 to 0.0266); its distance holds
}
