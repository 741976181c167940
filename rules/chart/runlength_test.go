package chart_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"plumbrule/rules/chart"
)

func runLength(t *testing.T, s chart.Scheme, shift float64) float64 {
	t.Helper()
	length, err := chart.RunLength(s, shift)
	if err != nil {
		t.Fatalf("%+v at %v: %v", s, shift, err)
	}
	return length
}

// Champ and Woodall 1987, Technometrics 29, 393-399, table 1 as cited in the help of the R package spc 0.6.7: a point beyond
// three sigma, alone and with two of three, four of five, eight on one side, and all four; the figures further below were
// recomputed with that package.
func TestRunLengthsOfChampAndWoodall(t *testing.T) {
	agrees(t, "run length of tests")
	beyond := chart.Tests{PointBeyond: true}
	all := chart.Tests{PointBeyond: true, TwoOfThree: true, FourOfFive: true, SameSide: 8}
	for _, shift := range []float64{0.2, 1, 3} {
		near(t, "the other side", runLength(t, chart.Scheme{Tests: all}, -shift), runLength(t, chart.Scheme{Tests: all}, shift), 1e-9)
	}
	near(t, "all four at 0.4", runLength(t, chart.Scheme{Tests: all}, 0.4), 36.606, 0.0005)
	near(t, "all four at 1", runLength(t, chart.Scheme{Tests: all}, 1), 9.222, 0.0005)
	near(t, "all four at 2", runLength(t, chart.Scheme{Tests: all}, 2), 3.128, 0.0005)
	nine, seven := all, beyond
	nine.SameSide, seven.SameSide = 9, 7
	near(t, "all four with nine", runLength(t, chart.Scheme{Tests: nine}, 0), 109.049, 0.0005)
	near(t, "one and seven", runLength(t, chart.Scheme{Tests: seven}, 0), 95.731, 0.0005)
	seven.SameSide = 9
	near(t, "one and nine", runLength(t, chart.Scheme{Tests: seven}, 0), 216.696, 0.0005)
	// The scheme of means is that of single values.
	near(t, "means", runLength(t, chart.Scheme{Kind: chart.KindMeanRange, Tests: nine}, 0), 109.049, 0.0005)
}

func TestRunLengthsInClosedForm(t *testing.T) {
	// A run of r events of probability p takes (p^-r - 1)/(1 - p) points on
	// average (Feller, An Introduction to Probability Theory, XIII.7).
	run := func(p float64, r int) float64 { return (math.Pow(p, -float64(r)) - 1) / (1 - p) }
	// With p for each side within three sigma, a run of r on one side or a point
	// beyond takes 1 + 2pE points, E = S/(1-pS) those after the first of a run,
	// S = 1 + p + … + p^(r-2).
	side := func(r int) float64 {
		p := math.Erf(3/math.Sqrt2) / 2
		s := (1 - math.Pow(p, float64(r-1))) / (1 - p)
		return 1 + 2*p*s/(1-p*s)
	}
	inside := math.Erf(1 / math.Sqrt2)
	for _, test := range []struct {
		name  string
		tests chart.Tests
		want  float64
	}{
		{"one point", chart.Tests{PointBeyond: true}, 1 / math.Erfc(3/math.Sqrt2)},
		{"seven on one side", chart.Tests{SameSide: 7}, 127},
		{"eight on one side", chart.Tests{SameSide: 8}, 255},
		{"nine on one side", chart.Tests{SameSide: 9}, 511},
		{"thirty on one side", chart.Tests{SameSide: 30}, 1<<30 - 1},
		{"nine or beyond", chart.Tests{PointBeyond: true, SameSide: 9}, side(9)},
		{"thirty-three or beyond", chart.Tests{PointBeyond: true, SameSide: 33}, side(33)},
		{"fifteen inside", chart.Tests{InsideOneSigma: 15}, run(inside, 15)},
		{"eight outside", chart.Tests{OutsideOneSigma: 8}, run(1-inside, 8)},
		// n values of any distribution hold no trend of three with the
		// probability 2·E_n/n! (1 for n below 2), E_n being the numbers of
		// alternating permutations, and Σ E_n/n! = sec 1 + tan 1 (André 1879).
		{"trend of three", chart.Tests{Trend: 3}, 2*(1/math.Cos(1)+math.Tan(1)) - 2},
		// No alternation of three means that all n values go one way: 2/n!.
		{"alternation of three", chart.Tests{Alternation: 3}, 2*math.E - 2},
	} {
		near(t, test.name, runLength(t, chart.Scheme{Tests: test.tests}, 0)/test.want, 1, 1e-9)
	}
	// Recomputed values of the same, three decimals.
	near(t, "fifteen inside", runLength(t, chart.Scheme{Tests: chart.Tests{InsideOneSigma: 15}}, 0), 963.272, 0.0005)
	near(t, "eight outside", runLength(t, chart.Scheme{Tests: chart.Tests{OutsideOneSigma: 8}}, 0), 14251.37, 0.005)
	// Trends and alternations do not see a shift.
	trend := chart.Scheme{Tests: chart.Tests{Trend: 6, Alternation: 14}}
	near(t, "shifted trend", runLength(t, trend, 2)/runLength(t, trend, 0), 1, 1e-9)
}

// Charts meet the run lengths in simulation, with a fixed seed and within four
// standard errors; the standard deviation of a run length is about its mean.
func TestRunLengthsOfCharts(t *testing.T) {
	for _, test := range simulated() {
		const runs = 400
		want := runLength(t, test.settings.Scheme(), test.shift)
		near(t, test.name, simulate(t, test.settings, test.shift, runs), want, 4*want/20)
	}
}

// simulation is a chart to simulate; the lengths computed for it are held to
// published ones elsewhere, but for patterns with steps.
type simulation struct {
	name     string
	settings chart.Settings
	shift    float64
}

func simulated() []simulation {
	all := chart.Tests{PointBeyond: true, TwoOfThree: true, FourOfFive: true, SameSide: 8}
	stepped := chart.Tests{PointBeyond: true, SameSide: 9, Trend: 6, Alternation: 14}
	return []simulation{
		{"two of three", chart.Settings{Tests: chart.Tests{TwoOfThree: true, PointBeyond: true}}, 1},
		{"four of five", chart.Settings{Tests: chart.Tests{FourOfFive: true, PointBeyond: true}}, 1},
		{"all four", chart.Settings{Tests: all}, 0},
		{"stepped", chart.Settings{Tests: stepped}, 0},
		{"in and out", chart.Settings{Tests: chart.Tests{InsideOneSigma: 5, OutsideOneSigma: 5}}, 0.3},
		{"ewma", chart.Settings{Kind: chart.KindEWMA}, 1},
		{"cusum", chart.Settings{Kind: chart.KindCUSUM}, 1},
		{"cusum with head start", chart.Settings{Kind: chart.KindCUSUM, HeadStart: 2.5}, 1},
	}
}

// simulate averages the run lengths of charts.
func simulate(t testing.TB, s chart.Settings, shift float64, runs int) float64 {
	t.Helper()
	s.Given = &chart.Given{Sigma: 1}
	random := rand.New(rand.NewPCG(1, 2))
	points := 0
	for range runs {
		state, err := chart.NewState(s)
		if err != nil {
			t.Fatal(err)
		}
		for signalled := false; !signalled; points++ {
			c, err := state.Append(random.NormFloat64() + shift)
			if err != nil {
				t.Fatal(err)
			}
			signalled = len(c.Points[len(c.Points)-1].Signals) > 0
		}
	}
	return float64(points) / float64(runs)
}

// BenchmarkSimulation reports simulated and computed average run lengths.
func BenchmarkSimulation(b *testing.B) {
	for _, test := range append(simulated(), simulation{"all eight", chart.Settings{Tests: chart.Nelson()}, 0}) {
		b.Run(test.name, func(b *testing.B) {
			for b.Loop() {
				b.ReportMetric(simulate(b, test.settings, test.shift, 20_000), "simulated")
			}
			exact, err := chart.RunLength(test.settings.Scheme(), test.shift)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(exact, "computed")
		})
	}
}

func TestRunLengthRefused(t *testing.T) {
	for _, test := range []struct {
		name   string
		scheme chart.Scheme
		shift  float64
		says   string
	}{
		{"nothing signals", chart.Scheme{}, 0, "no run test is selected"},
		{"unknown kind", chart.Scheme{Kind: "c"}, 0, `kind "c"`},
		{"shift not a number", chart.Scheme{Kind: chart.KindEWMA}, math.NaN(), "a shift of NaN"},
		{"shift too far", chart.Scheme{Kind: chart.KindEWMA}, 31, "from -30 to 30"},
		{"weight above 1", chart.Scheme{Kind: chart.KindEWMA, Weight: 1.1}, 0, "a weight of 1.1"},
		{"weight too small", chart.Scheme{Kind: chart.KindEWMA, Weight: 0.0001}, 0, "computed from 0.001"},
		{"width too large", chart.Scheme{Kind: chart.KindEWMA, Width: 8}, 0, "rounding would decide"},
		{"negative width", chart.Scheme{Kind: chart.KindEWMA, Width: -1}, 0, "a width of -1"},
		{"negative reference", chart.Scheme{Kind: chart.KindCUSUM, Reference: -1}, 0, "reference value of -1"},
		{"infinite decision", chart.Scheme{Kind: chart.KindCUSUM, Decision: math.Inf(1)}, 0, "decision value of +Inf"},
		{"decision too far", chart.Scheme{Kind: chart.KindCUSUM, Decision: 60}, 0, "rounding would decide"},
		{"decision much too far", chart.Scheme{Kind: chart.KindCUSUM, Decision: 1e6}, 0, "computed up to 492"},
		{"head start at the decision", chart.Scheme{Kind: chart.KindCUSUM, HeadStart: 5}, 0, "below the decision value"},
		{"head start where sides interact", chart.Scheme{Kind: chart.KindCUSUM, HeadStart: 3.1}, 0, "half the decision value plus"},
		{"run of one", chart.Scheme{Tests: chart.Tests{SameSide: 1}}, 0, "same-side"},
		{"runs too many to keep apart", chart.Scheme{Tests: chart.Tests{SameSide: 900, InsideOneSigma: 900, OutsideOneSigma: 900, FourOfFive: true}}, 0, "fewer tests or shorter runs would mend it"},
		{"run far too long", chart.Scheme{Tests: chart.Tests{SameSide: 1001}}, 0, "a run of 1001 points"},
		{"run too long", chart.Scheme{Tests: chart.Tests{SameSide: 60}}, 0, "average run length"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got, err := chart.RunLength(test.scheme, test.shift); err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("length %v, error %v, want one saying %q", got, err, test.says)
			}
		})
	}
}

func TestInControlRunLength(t *testing.T) {
	for _, test := range []struct {
		name     string
		settings chart.Settings
		want     float64
	}{
		{"individuals", chart.Settings{Tests: chart.Tests{PointBeyond: true}, Baseline: 20}, 370.398},
		// Recomputed values of other programs, see the tables of those kinds.
		{"cusum", chart.Settings{Kind: chart.KindCUSUM}, 465.444},
		{"ewma", chart.Settings{Kind: chart.KindEWMA}, 554.488},
	} {
		got, err := chart.InControlRunLength(test.settings)
		if err != nil {
			t.Fatal(err)
		}
		near(t, test.name, got, test.want, 0.0005)
	}
	if _, err := chart.InControlRunLength(chart.Settings{Tests: chart.Nelson(), Baseline: 1}); err == nil {
		t.Error("a baseline of 1 was not refused")
	}
}

// The eight tests together have an exact run length too, though their states are many: 73.48 (73.2 ± 0.3 by simulation).
func TestRunLengthOfTheEight(t *testing.T) {
	got, err := chart.RunLength(chart.Scheme{Tests: chart.Nelson()}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got-73.47995158620665) > 1e-6 {
		t.Errorf("run length %.10g, computed before as 73.479951586 and simulated as 73.2 ± 0.3", got)
	}
}
