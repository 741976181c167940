package chart_test

import (
	"bufio"
	"bytes"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"plumbrule/rules/chart"
)

// BenchmarkAgainstR charts 100 000 values of each kind with all run tests, and has base R do the same in the same run; ×R is
// how many times faster this package is. R's start does not count. There is no package for control charts among Debian's, so
// the comparison is with R code written for speed: vectors, run-length encoding and recursive filters where they serve.
func BenchmarkAgainstR(b *testing.B) {
	program, err := exec.LookPath("Rscript")
	if err != nil {
		b.Skip("R is not installed")
	}
	out, err := exec.CommandContext(b.Context(), program, "--vanilla", "testdata/charts.R").Output()
	if err != nil {
		b.Fatal(err)
	}
	theirs := map[string]time.Duration{}
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); {
		name, text, _ := strings.Cut(strings.TrimSpace(lines.Text()), " ")
		seconds, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			b.Fatal(err)
		}
		theirs[name] = time.Duration(seconds * float64(time.Second))
	}
	random := rand.New(rand.NewPCG(1, 2))
	values := make([]float64, 100_000)
	for i := range values {
		values[i] = random.NormFloat64()
	}
	var samples [][]float64
	for i := 0; i < len(values); i += 5 {
		samples = append(samples, values[i:i+5])
	}
	settings := chart.Settings{Tests: chart.Nelson()}
	for _, c := range []struct {
		kind chart.Kind
		make func() (chart.Chart, error)
	}{
		{chart.KindIndividuals, func() (chart.Chart, error) { return chart.Individuals(values, settings) }},
		{chart.KindEWMA, func() (chart.Chart, error) { return chart.EWMA(values, chart.Settings{}) }},
		{chart.KindCUSUM, func() (chart.Chart, error) { return chart.CUSUM(values, chart.Settings{}) }},
		{chart.KindMeanRange, func() (chart.Chart, error) { return chart.MeanRange(samples, settings) }},
	} {
		b.Run(string(c.kind), func(b *testing.B) {
			for b.Loop() {
				if _, err := c.make(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(theirs[string(c.kind)])/(float64(b.Elapsed())/float64(b.N)), "×R")
		})
	}
}
