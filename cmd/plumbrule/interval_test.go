package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"plumbrule/records"
	"plumbrule/records/quantity"
	"plumbrule/rules"
	"plumbrule/rules/interval"
)

// near compares a figure of JSON with one printed to so many decimals.
func near(tb testing.TB, out map[string]any, name string, want float64, decimals int) {
	tb.Helper()
	got, found := out[name].(float64)
	if !found || math.Abs(got-want) > 0.5000001*math.Pow(10, -float64(decimals)) {
		tb.Errorf("%s is %v, want %v", name, out[name], want)
	}
}

// Limits of shares. 4 of 20 at 90 %: NIST/SEMATECH e-Handbook, 7.2.4.1, which prints an upper limit of 0.401029; recomputed
// with a beta quantile it is 0.4010281. 0 of 20: Newcombe (1998), Statistics in Medicine 17, 857-872, table I. The others
// are beta quantiles reckoned by another program.
func TestIntervalShares(t *testing.T) {
	for _, c := range []struct {
		passed, of                 int
		level                      string
		lower, upper, oneSided     float64
		decimals, decimalsOneSided int // -1: not stated
	}{
		{4, 20, "0.90", 0.071354, 0.401028, 0, 6, -1},
		{0, 20, "0.95", 0, 0.1684, 0, 4, 12},
		{18, 20, "0.95", 0.683017, 0.987651, 0.717381, 6, 6},
		{20, 20, "0.95", 0.831567, 1, 0.860892, 6, 6},
		{45, 50, "0.95", 0.781865, 0.966725, 0.801167, 6, 6},
		{10, 12, "0.95", 0.515862, 0.979137, 0.561895, 6, 6},
		{9, 10, "0.95", 0.554984, 0.997471, 0.605837, 6, 6},
		{8, 8, "0.95", 0.630583, 1, 0.687656, 6, 6},
	} {
		out := inJSON(t, "interval", "--passed", fmt.Sprint(c.passed), "--of", fmt.Sprint(c.of), "--level", c.level)
		near(t, out, "lower", c.lower, c.decimals)
		near(t, out, "upper", c.upper, c.decimals)
		if c.decimalsOneSided >= 0 {
			near(t, out, "lower_one_sided", c.oneSided, c.decimalsOneSided)
		}
	}
}

// The exact binomial test and the exponential model for one interval, t·ln(target)/ln(observed): closed forms.
func TestIntervalDirections(t *testing.T) {
	for _, c := range []struct {
		passed, of int
		target     string
		p          float64 // of the side that decides
		side       string
		direction  string
	}{
		{45, 50, "0.95", 0.103617, "p_so_few", "keep"},
		{42, 50, "0.95", 0.003188, "p_so_few", "shorten"},
		{18, 20, "0.95", 0.264160, "p_so_few", "keep"},
		{16, 20, "0.95", 0.015902, "p_so_few", "shorten"},
		{50, 50, "0.85", 0.000296, "p_so_many", "lengthen"},
	} {
		for _, months := range [][]string{nil, {"--months", "12"}} {
			out := inJSON(t, append([]string{"interval", "--passed", fmt.Sprint(c.passed), "--of", fmt.Sprint(c.of), "--target", c.target}, months...)...)
			near(t, out, c.side, c.p, 6)
			if out["direction"] != c.direction {
				t.Errorf("%d of %d: %v, want %s", c.passed, c.of, out["direction"], c.direction)
			}
		}
	}
	for _, c := range []struct {
		passed, of string
		target     string
		months     float64
	}{{"18", "20", "0.95", 5.842032}, {"18", "20", "0.85", 18.510038}, {"48", "50", "0.95", 15.078135}} {
		near(t, inJSON(t, "interval", "--passed", c.passed, "--of", c.of, "--target", c.target, "--months", "12"), "target_months", c.months, 6)
	}
}

// Constructed: 20, 28, 35 and 7 of 20, 30, 40 and 10 in tolerance after 3, 6, 12 and 24 months; the root of the score and the
// observed information there, by bisection in another program.
func TestIntervalExponential(t *testing.T) {
	var b strings.Builder
	b.WriteString("months,passed\n")
	for _, g := range [][3]int{{3, 20, 20}, {6, 30, 28}, {12, 40, 35}, {24, 10, 7}} {
		b.WriteString(strings.Repeat(fmt.Sprintf("%d,yes\n", g[0]), g[2]) + strings.Repeat(fmt.Sprintf("%d,no\n", g[0]), g[1]-g[2]))
	}
	file := filepath.Join(t.TempDir(), "outcomes.csv")
	if err := os.WriteFile(file, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	for target, months := range map[string]float64{"0.95": 4.542693, "0.90": 9.331054, "0.85": 14.393180} {
		out := inJSON(t, "interval", "--outcomes", file, "--target", target)
		near(t, out, "rate_per_month", 0.011291384, 9)
		near(t, out, "rate_standard_error", 0.003575426, 9)
		near(t, out, "target_months", months, 6)
	}
}

// The steps of the run in the script interval-staircase-run, unrounded.
func TestIntervalStaircase(t *testing.T) {
	out := inJSON(t, "interval", "--outcomes", "testdata/examples/outcomes.csv", "--months", "12")
	run := out["staircase"].([]any)[0].(map[string]any)
	for i, want := range []float64{14.4, 14.4, 8.64, 10.368, 12.4416} {
		near(t, run["steps"].([]any)[i].(map[string]any), "next_months", want, 12)
	}
}

// Each subject climbs its own stairs, in the order of the rows; by hand.
func TestIntervalStaircaseOfEachSubject(t *testing.T) {
	file := filepath.Join(t.TempDir(), "outcomes.csv")
	if err := os.WriteFile(file, []byte("subject,months,passed,ratio\nB,10,no,1.5\nA,20,yes,0.5\nB,10,yes,0.9\nA,20,yes,0.5\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	runs := inJSON(t, "interval", "--outcomes", file)["staircase"].([]any)
	for i, want := range []struct {
		subject string
		months  []float64
	}{{"B", []float64{6, 6}}, {"A", []float64{24, 28.8}}} {
		run := runs[i].(map[string]any)
		steps := run["steps"].([]any)
		if run["subject"] != want.subject || len(steps) != len(want.months) {
			t.Fatalf("run %d is %v", i, run)
		}
		for k, months := range want.months {
			near(t, steps[k].(map[string]any), "next_months", months, 12)
		}
	}
}

// The staircase looks at the calibrations in force, one for each limit, and takes the worst: what an earlier one found has
// had its step, and one out of tolerance by its rule outweighs a larger share of a limit that was kept.
func TestIntervalStepsFromTheWorstInForce(t *testing.T) {
	old, diameter, distance := &records.Certificate{Number: "1"}, &records.Certificate{Number: "2"}, &records.Certificate{Number: "3"}
	outcome := func(c *records.Certificate, ratio float64, in bool) rules.CalibrationOutcome {
		return rules.CalibrationOutcome{Certificate: c, Months: 12, Ratio: ratio, InTolerance: in}
	}
	var o intervalOptions
	o.lengthen, o.shorten, o.within = &parsed[float64]{value: 1.2}, &parsed[float64]{value: 0.6}, &parsed[float64]{value: 0.8}
	for name, c := range map[string]struct {
		outcomes []rules.CalibrationOutcome
		want     interval.Direction
	}{
		"an earlier failure":    {[]rules.CalibrationOutcome{outcome(old, 2, false), outcome(diameter, 0.5, true)}, interval.Lengthen},
		"nothing of those":      {[]rules.CalibrationOutcome{outcome(old, 0.5, true)}, interval.None},
		"the larger share":      {[]rules.CalibrationOutcome{outcome(diameter, 0.9, true), outcome(distance, 0.5, true)}, interval.Keep},
		"not shown, and larger": {[]rules.CalibrationOutcome{outcome(diameter, 0.99, true), outcome(distance, 0.95, false)}, interval.Shorten},
		"the other way round":   {[]rules.CalibrationOutcome{outcome(diameter, 0.95, false), outcome(distance, 0.99, true)}, interval.Shorten},
	} {
		r := &intervalReview{o: &o, histories: map[string]rules.CalibrationHistory{
			"scan-1": {Outcomes: c.outcomes, InForce: []*records.Certificate{diameter, distance}},
		}}
		if p, err := r.stair("scan-1", 12); err != nil || p.Direction != c.want {
			t.Errorf("%s: %s, %v, want %s", name, p.Direction, err, c.want)
		}
	}
}

// Rounded down: to whole months, and to the day where a whole month would go the wrong way or be none.
func TestMonthsDown(t *testing.T) {
	for _, c := range []struct {
		months, current float64
		want            string
	}{
		{14.4, 12, "14 months"},
		{15, 12, "15 months"},
		{1.2 * 10, 10, "12 months"},
		{12.5, 12, "12 months 15 days"},
		{7.2, 12, "7 months"},
		{0.5, 12, "15 days"},
		{0.01, 12, "less than a day"},
	} {
		if got := monthsDown(c.months, c.current); got != c.want {
			t.Errorf("%v after %v: %s, want %s", c.months, c.current, got, c.want)
		}
	}
}

// A drift line makes a proposal by the control chart, or a row that says why there is none. Without residuals the band is
// the line: 10 µm at the last calibration and 1 µm a month meet 30 µm after 20 months.
func TestIntervalByChart(t *testing.T) {
	var o intervalOptions
	o.level = &parsed[float64]{value: 0.95}
	line := interval.Line{Points: 3, MeanMonths: -12, SumSquares: 288, ErrorAtMean: -2, SlopePerMonth: 1}
	why := ""
	r := &intervalReview{o: &o, drift: func(*rules.Device) (interval.Line, float64, string) { return line, 30, why }}
	d, year := &rules.Device{ID: "scan-1"}, quantity.Interval{Months: 12}
	p, err := r.byChart(d, year)
	if err != nil || p.ProposedMonths == nil || math.Abs(*p.ProposedMonths-20) > 1e-9 || p.proposedWords() != "20 months" || p.Subject != "scan-1" {
		t.Errorf("%+v, %v", p, err)
	}
	why = "two calibrations make no line"
	p, err = r.byChart(d, year)
	if err != nil || p.Direction != interval.None || p.evidence() != why || p.proposedWords() != "none" {
		t.Errorf("%+v, %v", p, err)
	}
}
