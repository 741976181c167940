package selftest

import (
	"strings"

	"plumbrule/rules/chart"
)

func runLengthOfTests(_ *bench, input string) (float64, error) {
	names, _, _ := strings.Cut(input, ";")
	tests, err := chart.ParseTests(strings.Split(names, " + "))
	if err != nil {
		return 0, err
	}
	shift, err := named(input, "shift")
	if err != nil {
		return 0, err
	}
	return chart.RunLength(chart.Scheme{Tests: tests}, shift)
}

func runLengthOfAverages(_ *bench, input string) (float64, error) {
	in, err := allNamed(input, "λ", "L", "shift")
	if err != nil {
		return 0, err
	}
	return chart.RunLength(chart.Scheme{Kind: chart.KindEWMA, Weight: in[0], Width: in[1], Fixed: true}, in[2])
}

func runLengthOfSums(_ *bench, input string) (float64, error) {
	in, err := allNamed(input, "h", "head-start", "shift")
	if err != nil {
		return 0, err
	}
	return chart.RunLength(chart.Scheme{Kind: chart.KindCUSUM, Decision: in[0], HeadStart: in[1]}, in[2])
}

func falseAlarm(_ *bench, input string) (float64, error) {
	m, err := named(input, "m")
	if err != nil {
		return 0, err
	}
	return chart.FalseAlarm(int(m))
}
