package show_test

import (
	"math"
	"testing"

	"plumbrule/cmd/plumbrule/internal/show"
	"plumbrule/records/calendar"
)

func TestDecimals(t *testing.T) {
	for expandedUM, want := range map[float64]int{
		0.35: 2, 3.5848: 1, 6: 1, 9.96: 0, 10: 0, 58.5: 0, 400: 0, // two significant digits, JCGM 100:2008, 7.2.6
		0.0996: 2, 0.1: 2, 1: 1, 1e-30: 9, // 0.0996 is 0.10
		0: 1, -1: 1, math.NaN(): 1, math.Inf(1): 1,
	} {
		if got := show.Decimals(expandedUM); got != want {
			t.Errorf("Decimals(%g) = %d, want %d", expandedUM, got, want)
		}
	}
}

func TestApart(t *testing.T) {
	for _, c := range []struct {
		value  float64
		others []float64
		want   int
	}{
		{65.04, []float64{65}, 2},     // 65.04 and 65.00
		{56.5, []float64{56.7757}, 1}, // 56.5 and 56.8
		{65, []float64{65}, 1},        // equal: nothing to tell apart
		{65 + 5e-14, []float64{65}, 1},
		{65.0000001, []float64{65}, 7},
	} {
		if got := show.Apart(1, c.value, 1e-8, c.others...); got != c.want {
			t.Errorf("Apart(%v, %v) = %d, want %d", c.value, c.others, got, c.want)
		}
	}
}

func TestFigures(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{show.Signed(3.12, 1), "+3.1"},
		{show.Signed(-58, 1), "-58.0"},
		{show.Signed(-0.04, 1), "0.0"},
		{show.Signed(0.04, 1), "0.0"},
		{show.Fixed(12.5, 0), "12"}, // half to even, as the standard library rounds exact halves
		{show.Shortest(0.35), "0.35"},
		{show.Shortest(11.5e-7), "0.00000115"},
		{show.Shortest(1e-9), "1e-09"},
		{show.Ratio(6.5), "6.50"},
		{show.Ratio(9.997), "10.0"},
		{show.Ratio(166.67), "167"},
		{show.Ratio(0.0012345), "0.00123"},
		{show.Ratio(0), "0.00"},
		{show.LengthMM(800.03788), "800.0379"},
		{show.Date(calendar.Date{Year: 2025, Month: 2, Day: 28}), "2025-02-28"},
		{show.Date(calendar.Date{}), "none"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// The first is the conformance probability of an error five standard uncertainties inside the limit, 1 − 2.87e-7.
func TestProbability(t *testing.T) {
	for p, want := range map[float64]string{
		0.9999997133484281: "0.9999997", 0.954499736: "0.9545", 0.5: "0.5000", 0.0139034: "0.0139",
		0.99996: "0.99996", 0.999951: "0.99995", 1: "1", 0: "0", math.Nextafter(1, 0): ">0.999999999", 9.866e-10: "9.9e-10",
	} {
		if got := show.Probability(p); got != want {
			t.Errorf("Probability(%v) = %s, want %s", p, got, want)
		}
	}
}
