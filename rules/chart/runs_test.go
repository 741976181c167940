package chart_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules/chart"
)

// standard judges values by a centre of 0 and a sigma of 1.
func standard(tests chart.Tests) chart.Settings {
	return chart.Settings{Given: &chart.Given{Centre: 0, Sigma: 1}, Tests: tests}
}

// signals returns the numbers of the points at which a test speaks.
func signals(c chart.Chart, test chart.Test) []int {
	var out []int
	for _, p := range c.Points {
		for _, s := range p.Signals {
			if s.Test == test {
				out = append(out, p.N)
			}
		}
	}
	return out
}

// The series are constructed and worked by hand from the definitions of Nelson
// 1984, J. Quality Technology 16, 237-239, with all eight tests on: the test
// named signals at the points listed and nothing else signals anywhere.
func TestRunSeries(t *testing.T) {
	for _, series := range []struct {
		name   string
		test   chart.Test
		values []float64
		at     []int
		points []int // of the last signal
	}{
		{"beyond", chart.PointBeyond, []float64{0.4, -0.7, 1.2, 0.3, -1.1, 3.2, -0.5, 0.8}, []int{6}, []int{6}},
		{"nine on one side", chart.SameSide, []float64{-0.6, 0.5, 1.2, 0.3, 0.8, 0.2, 1.4, 0.6, 0.9, 0.4, -0.5}, []int{10}, []int{2, 3, 4, 5, 6, 7, 8, 9, 10}},
		{"ten on one side", chart.SameSide, []float64{-0.6, 0.5, 1.2, 0.3, 0.8, 0.2, 1.4, 0.6, 0.9, 0.4, 0.7, -0.5}, []int{10, 11}, []int{3, 4, 5, 6, 7, 8, 9, 10, 11}},
		{"six rising", chart.Trend, []float64{0.5, -0.9, -1.3, -0.6, -0.2, 0.4, 0.9, 1.5, 0.3, -0.4}, []int{8}, []int{3, 4, 5, 6, 7, 8}},
		{"fourteen alternating", chart.Alternation, []float64{0.5, -0.6, 0.9, -0.4, 1.3, -1.1, 0.7, -0.8, 0.6, -1.2, 1.4, -0.5, 0.8, -0.9, -1.3}, []int{14}, []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14}},
		{"two of three", chart.TwoOfThree, []float64{0.3, -0.8, 2.3, 0.6, 2.5, -0.4, 0.9, -1.2}, []int{5}, []int{3, 5}},
		{"four of five", chart.FourOfFive, []float64{-0.4, 1.3, 1.6, 0.7, 1.2, 1.8, -0.3, 0.5}, []int{6}, []int{2, 3, 5, 6}},
		{"fifteen inside", chart.InsideOneSigma, []float64{1.4, -0.5, 0.3, 0.8, -0.2, -0.7, 0.6, 0.1, -0.4, 0.9, -0.8, -0.3, 0.5, 0.7, -0.6, 0.2, -1.3}, []int{16}, []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16}},
		{"eight outside", chart.OutsideOneSigma, []float64{0.2, 1.5, -1.3, -1.8, 1.2, -1.6, 1.4, -1.9, 1.1, -0.6}, []int{9}, []int{2, 3, 4, 5, 6, 7, 8, 9}},
		{"on the lines", "", []float64{3.0, -0.5, 2.0, 0.4, 2.0, -1.0, 1.0, -1.0, -1.0}, nil, nil},
		{"a point on the centre ends a run", "", []float64{0.6, 0.3, 0.8, 0.4, 0.0, 0.7, 0.2, 0.9, 0.5, -1.2}, nil, nil},
		{"two of three, opposite sides", "", []float64{2.4, -2.5, 0.3, 2.2, -0.4, -2.3, 0.6}, nil, nil},
		{"a tie ends a trend", "", []float64{-1.2, -0.6, -0.1, -0.1, 0.4, 0.9, 1.3, -0.2}, nil, nil},
		{"a tie ends an alternation", "", []float64{0.5, -0.6, 0.9, -0.4, 1.3, -1.1, 0.7, 0.7, -0.8, 0.6, -1.2, 1.4, -0.5, 0.8, -0.9}, nil, nil},
		{"two of three need no third", chart.TwoOfThree, []float64{-2.5, -2.4, 0.3}, []int{2}, []int{1, 2}},
		{"no signal at a point not beyond", chart.TwoOfThree, []float64{2.3, 2.5, 0.6, -0.4}, []int{2}, []int{1, 2}},
	} {
		t.Run(series.name, func(t *testing.T) {
			for _, sign := range []float64{1, -1} {
				values := slices.Clone(series.values)
				for i := range values {
					values[i] *= sign
				}
				c, err := chart.Individuals(values, standard(chart.Nelson()))
				if err != nil {
					t.Fatal(err)
				}
				var at, points []int
				for _, p := range c.Points {
					for _, s := range p.Signals {
						if s.Test != series.test {
							t.Errorf("sign %v: %s signals at point %d", sign, s.Test, p.N)
							continue
						}
						at, points = append(at, p.N), s.Points
					}
				}
				if diff := cmp.Diff(series.at, at); diff != "" {
					t.Errorf("sign %v: signalling points (want, got):\n%s", sign, diff)
				}
				if diff := cmp.Diff(series.points, points); diff != "" {
					t.Errorf("sign %v: points of the last signal (want, got):\n%s", sign, diff)
				}
			}
		})
	}
}

func TestEachTestCanBeSwitchedOff(t *testing.T) {
	values := []float64{3.5, 3.6, 3.7, 3.8, 3.9, 4.0, 3.5, 3.6, 3.7, 3.5, 3.6}
	c, err := chart.Individuals(values, standard(chart.Tests{}))
	if err != nil {
		t.Fatal(err)
	}
	if c.Signalling() != 0 || c.RangeSignalling() != 0 {
		t.Errorf("%d points signal with every test off", c.Signalling())
	}
	c, err = chart.Individuals(values, standard(chart.Tests{SameSide: 7}))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]int{7, 8, 9, 10, 11}, signals(c, chart.SameSide)); diff != "" {
		t.Errorf("runs of seven (want, got):\n%s", diff)
	}
}

func TestOnlyLimitsJudgeMovingRanges(t *testing.T) {
	// Every moving range is below the centre 2/√π of the range chart, so a run
	// of nine would signal if runs were counted there.
	values := []float64{0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 0, 0.1, 5}
	c, err := chart.Individuals(values, standard(chart.Nelson()))
	if err != nil {
		t.Fatal(err)
	}
	if last := c.Range[len(c.Range)-1]; c.RangeSignalling() != 1 || len(last.Signals) != 1 || last.Signals[0].Test != chart.PointBeyond {
		t.Errorf("%d moving ranges signal, the last with %v; want only the last, beyond its limit", c.RangeSignalling(), last.Signals)
	}
}

func TestPointsOnTheCentreMakeNoRun(t *testing.T) {
	tenth, fifth := 0.1, 0.2
	for _, test := range []struct {
		name          string
		centre, value float64
	}{
		{"exactly", 0, 0},
		// 0.1 + 0.2 is not 0.3 in binary: the values lie on the line but for rounding.
		{"but for rounding", tenth + fifth, 0.3},
		{"but for rounding, below 0", -tenth - fifth, -0.3},
	} {
		values := slices.Repeat([]float64{test.value}, 14)
		c, err := chart.Individuals(values, chart.Settings{Given: &chart.Given{Centre: test.centre, Sigma: 1}, Tests: chart.Nelson()})
		if err != nil {
			t.Fatal(err)
		}
		if c.Signalling() != 0 {
			t.Errorf("%s: %d points signal", test.name, c.Signalling())
		}
	}
}
