package chart_test

import (
	"math"
	"slices"
	"testing"

	"plumbrule/rules/chart"
)

// Student 1908, Biometrika 6, 1-25: additional hours of sleep, as in the example
// of t.test in the documentation of R (from memory): difference 1.58, 17.776
// degrees of freedom, 95 % interval -0.2054832 to 3.3654832.
func TestStepOfStudentsSleep(t *testing.T) {
	first := []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0}
	second := []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	for _, kind := range chart.Kinds() {
		// An offset, a unit and a third segment change nothing.
		units := []float64{1, 1e-170, 1e170}
		if kind == chart.KindMeanRange || kind == chart.KindMeanDeviation {
			units = units[:1] // their samples scatter in the unit 1
		}
		for _, unit := range units {
			values := slices.Concat(first, second, second)
			for i := range values {
				values[i] = (values[i] + 1e4) * unit
			}
			c, err := made(kind, values, chart.Settings{Restart: []int{10, 20}})
			c = must(t, c, err)
			step := c.Segments[1].Step
			if c.Segments[0].Step != nil || step == nil || step.Interval == nil {
				t.Fatalf("%s: steps %v, %v", kind, c.Segments[0].Step, step)
			}
			near(t, "difference", step.Difference/unit, 1.58, 1e-9)
			near(t, "degrees of freedom", step.Interval.Freedom, 17.776, 5e-4)
			near(t, "lower", step.Interval.Lower/unit, -0.2054832, 5e-8)
			near(t, "upper", step.Interval.Upper/unit, 3.3654832, 5e-8)
			near(t, "no step", c.Segments[2].Step.Difference/unit, 0, 1e-8)
		}
	}
}

func TestStepWithoutInterval(t *testing.T) {
	for _, test := range []struct {
		name     string
		values   []float64
		restart  int
		want     float64
		interval bool
	}{
		{"one point after", []float64{1, 2, 3, 7}, 3, 5, false},
		{"one point before", []float64{7, 1, 2, 3}, 1, -5, false},
		{"constant both", []float64{1, 1, 1, 4, 4}, 3, 3, false},
		{"constant before", []float64{1, 1, 1, 4, 5}, 3, 3.5, true},
	} {
		c, err := chart.Individuals(test.values, chart.Settings{Restart: []int{test.restart}})
		c = must(t, c, err)
		step := c.Segments[1].Step
		near(t, test.name, step.Difference, test.want, 1e-15)
		if (step.Interval != nil) != test.interval {
			t.Errorf("%s: interval %v", test.name, step.Interval)
		}
		if test.interval {
			// One degree of freedom, standard error 1/2: t(0.975; 1) = 12.7062.
			near(t, "upper", step.Interval.Upper, 3.5+12.7062/2, 5e-5)
		}
	}
	// NumAcc4 of the NIST Statistical Reference Datasets, standard deviation 0.1
	// and mean 10000000.2, against itself: half-width 1.96·0.1·√(2/1001).
	values := make([]float64, 0, 2002)
	for range 2 {
		values = append(values, 10000000.2)
		for range 500 {
			values = append(values, 10000000.1, 10000000.3)
		}
	}
	c, err := chart.Individuals(values, chart.Settings{Restart: []int{1001}})
	c = must(t, c, err)
	near(t, "half-width", c.Segments[1].Step.Interval.Upper, 1.961151*0.1*math.Sqrt(2.0/1001), 1e-8)
}
