package main

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"plumbrule/records/quantity"
	"plumbrule/rules/chart"
)

// Charts of the standard normal distribution, run until they signal. 20 000 runs have a standard error of about half a
// point.
func TestNelsonRunLength(t *testing.T) {
	const runs = 20_000
	random := rand.New(rand.NewPCG(3, 5)) //nolint:gosec // a simulation
	points := 0
	for range runs {
		state, err := chart.NewState(chart.Settings{Tests: chart.Nelson(), Given: &chart.Given{Sigma: 1}})
		if err != nil {
			t.Fatal(err)
		}
		for signalled := false; !signalled; points++ {
			c, err := state.Append(random.NormFloat64())
			if err != nil {
				t.Fatal(err)
			}
			signalled = len(c.Points[len(c.Points)-1].Signals) > 0
		}
	}
	if got := float64(points) / runs; math.Abs(got-nelsonRunLength) > 2 {
		t.Errorf("%v points on average, want %v", got, nelsonRunLength)
	}
}

// What is kept is what the chain gives.
func TestNelsonRunLengthIsExact(t *testing.T) {
	got, err := chart.InControlRunLength(chart.Settings{Tests: chart.Nelson()})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got-nelsonRunLength) > 1e-7 {
		t.Errorf("%.12g, want %.12g", got, nelsonRunLength)
	}
}

func TestAlarmSentence(t *testing.T) {
	week := quantity.Interval{Days: 7}
	for _, c := range []struct {
		alarms falseAlarms
		every  quantity.Interval
		want   string
	}{
		{falseAlarms{length: 370.4}, quantity.Interval{}, "a false alarm comes about once in 370 checks (average"},
		{falseAlarms{length: 73.48}, week, "about once in 73 checks, at this check's interval of 7 days about every 17 months ("},
		{falseAlarms{length: 9.22}, week, "about once in 9.2 checks, at this check's interval of 7 days about every 65 days ("},
		{falseAlarms{length: 370.4}, quantity.Interval{Months: 1}, "about once in 370 checks, at this check's interval of 1 month about every 31 years ("},
		{falseAlarms{why: "it never signals"}, week, "no average run length in control: it never signals"},
	} {
		if got := c.alarms.sentence(chart.KindIndividuals, "check", c.every); !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
