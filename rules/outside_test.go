package rules_test

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"plumbrule/rules/budget"
	"plumbrule/rules/chart"
	"plumbrule/rules/conformity"
	"plumbrule/rules/drift"
	"plumbrule/rules/interval"
	"plumbrule/rules/repeatability"
	"plumbrule/rules/sample"
)

// What R computes from the same published data, this module computes as well. The script runs where R is installed; .ci/run
// installs it.
func TestAgainstR(t *testing.T) {
	program, err := exec.LookPath("Rscript")
	if err != nil {
		t.Skip("R is not installed")
	}
	out, err := exec.CommandContext(t.Context(), program, "--vanilla", "testdata/outside.R").Output()
	if err != nil {
		t.Fatalf("Rscript: %v", err)
	}
	ours := map[string]float64{}
	linesOutside(t, ours)
	samplesOutside(t, ours)
	studiesOutside(t, ours)
	runLengthsOutside(t, ours)
	compared := 0
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); {
		name, text, _ := strings.Cut(strings.TrimSpace(lines.Text()), " ")
		theirs, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			t.Fatalf("R printed %q", lines.Text())
		}
		got, has := ours[name]
		if !has {
			t.Errorf("%s is not computed here", name)
			continue
		}
		compared++
		tolerance := 1e-9
		if strings.HasPrefix(name, "ewma") || strings.HasPrefix(name, "cusum") {
			tolerance = 1e-6 // both solve an integral equation with so many nodes
		}
		if math.Abs(got-theirs) > tolerance*math.Max(1, math.Abs(theirs)) {
			t.Errorf("%s: %.15g, R has %.15g", name, got, theirs)
		}
	}
	if compared < 25 {
		t.Errorf("only %d figures compared", compared)
	}
}

func linesOutside(t *testing.T, ours map[string]float64) {
	t.Helper()
	norris := must(drift.Fit(columns(t, "published/data/norris.csv", "x", "y")))(t)
	ours["norris-intercept"], ours["norris-slope"] = norris.Intercept, norris.Slope
	ours["norris-residual-sd"], ours["norris-slope-se"] = norris.ResidualSD, norris.SlopeSE
	ours["norris-confidence-lower"] = *must(norris.Confidence(500, 0.95))(t).Lower.Value
	ours["norris-prediction-upper"] = *must(norris.Prediction(500, 0.95))(t).Upper.Value
	arsenic := must(drift.Fit(columns(t, "published/data/arsenic.csv", "actual", "measured")))(t)
	crossings := must(arsenic.Crossings(3, 0.90))(t)
	ours["arsenic-slope"] = arsenic.Slope
	ours["arsenic-lower"], ours["arsenic-upper"] = *crossings.Prediction.Lower.Value, *crossings.Prediction.Upper.Value
}

func samplesOutside(t *testing.T, ours map[string]float64) {
	t.Helper()
	file := csvRows(t, "published/data/lottery.csv")
	values, _ := columns(t, "published/data/lottery.csv", file[0][0], file[0][0])
	lottery := must(sample.Summarise(values))(t)
	ours["lottery-mean"], ours["lottery-sd"], ours["lottery-lag1"] = lottery.Mean, *lottery.SD.Value, *lottery.Autocorrelation.Value
	for _, k := range [][2]int{{18, 20}, {45, 50}, {9, 10}} {
		share := must(interval.ClopperPearson(k[0], k[1], 0.95))(t)
		name := "share-" + strconv.Itoa(k[0]) + "-" + strconv.Itoa(k[1])
		ours[name+"-lower"], ours[name+"-upper"] = share.Lower, share.Upper
	}
	ours["probability-57"] = must(conformity.Probability(57, 5, -65, 65))(t)
	ours["probability-73"] = must(conformity.Probability(73, 5, -65, 65))(t)
	ours["coverage-4"] = must(budget.CoverageFactor(0.9545, 4))(t)
	ours["coverage-16"] = must(budget.CoverageFactor(0.99, 16))(t)
}

func studiesOutside(t *testing.T, ours map[string]float64) {
	t.Helper()
	var readings []repeatability.Reading
	for _, row := range csvRows(t, "published/data/gauge-20x3x2.csv")[1:] {
		value, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		readings = append(readings, repeatability.Reading{Part: row[0], Operator: row[1], Value: value})
	}
	study := must(repeatability.Study(readings, repeatability.Settings{}))(t)
	table := study.Models[0].Table
	for i := range 4 {
		ours["gauge-ss-"+strconv.Itoa(i+1)] = table[i].SumOfSquares
	}
	ours["gauge-p-interaction"] = *table[2].P.Value
}

func runLengthsOutside(t *testing.T, ours map[string]float64) {
	t.Helper()
	length := func(s chart.Scheme, shift float64) float64 { return must(chart.RunLength(s, shift))(t) }
	ours["ewma-0.2-3-0"] = length(chart.Scheme{Kind: chart.KindEWMA, Weight: 0.2, Width: 3, Fixed: true}, 0)
	ours["ewma-0.1-2.7-1"] = length(chart.Scheme{Kind: chart.KindEWMA, Weight: 0.1, Width: 2.7, Fixed: true}, 1)
	ours["cusum-0.5-5-0"] = length(chart.Scheme{Kind: chart.KindCUSUM, Reference: 0.5, Decision: 5}, 0)
	ours["cusum-0.5-4-1"] = length(chart.Scheme{Kind: chart.KindCUSUM, Reference: 0.5, Decision: 4}, 1)
	ours["cusum-0.5-4-1-fast"] = length(chart.Scheme{Kind: chart.KindCUSUM, Reference: 0.5, Decision: 4, HeadStart: 2}, 1)
}

// must returns a function that returns the value or ends the test.
func must[T any](value T, err error) func(*testing.T) T {
	return func(t *testing.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
}

// csvRows returns the rows of a CSV file, header first.
func csvRows(t *testing.T, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// columns returns two columns of a CSV file.
func columns(t *testing.T, name, first, second string) (x, y []float64) {
	t.Helper()
	rows := csvRows(t, name)
	at := map[string]int{}
	for i, title := range rows[0] {
		at[title] = i
	}
	for _, row := range rows[1:] {
		a, err := strconv.ParseFloat(row[at[first]], 64)
		if err != nil {
			t.Fatal(err)
		}
		b, err := strconv.ParseFloat(row[at[second]], 64)
		if err != nil {
			t.Fatal(err)
		}
		x, y = append(x, a), append(y, b)
	}
	return x, y
}
