package selftest

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"plumbrule/rules/growth"
	"plumbrule/rules/interval"
)

// binomialLimit reads an input such as "4 of 20, 90 %, lower".
func binomialLimit(_ *bench, input string) (float64, error) {
	var (
		k, n    int
		percent float64
	)
	if _, err := fmt.Sscanf(input, "%d of %d, %f %%,", &k, &n, &percent); err != nil {
		return 0, err
	}
	p, err := interval.ClopperPearson(k, n, percent/100)
	if err != nil {
		return 0, err
	}
	return pick(input[strings.LastIndex(input, ", ")+2:], map[string]float64{
		"lower": p.Lower, "upper": p.Upper, "one-sided lower": p.OneSidedLower,
	})
}

func intervalByReliability(_ *bench, input string) (float64, error) {
	in, err := allNamed(input, "observed", "target")
	if err != nil {
		return 0, err
	}
	months, err := interval.OneInterval(12, in[0], in[1])
	return known(months), err
}

// staircase runs through the errors as shares of the limit, from 12 months.
func staircase(_ *bench, input string) (float64, error) {
	ratios, err := numbersIn(input)
	if err != nil {
		return 0, err
	}
	s := interval.Staircase{Lengthen: 1.2, Shorten: 0.6, Within: 0.8}
	months := 12.0
	for _, ratio := range ratios {
		p, err := s.Next(months, interval.Outcome{Subject: "device", Months: months, InTolerance: ratio <= 1, Ratio: &ratio})
		if err != nil {
			return 0, err
		}
		if p.ProposedMonths == nil {
			return 0, errors.New("no interval is proposed")
		}
		months = *p.ProposedMonths
	}
	return months, nil
}

// growthFigure has six errors over each of two paths, so that all follows in closed form.
func growthFigure(_ *bench, input string) (float64, error) {
	var checks []growth.Check
	for _, path := range []struct{ m, mean, sd float64 }{{1, 2, 1}, {5, 10, 3}} {
		for _, unit := range []float64{-1.5, -1, -0.5, 0.5, 1, 1.5} { // sum of squares 7
			checks = append(checks, growth.Check{PathM: path.m, ErrorUM: path.mean + float64(path.sd*unit*math.Sqrt(5.0/7))})
		}
	}
	g, err := growth.Estimate(checks, growth.Claim{ConstantUM: 10, PerMetreUM: 5}, growth.Settings{})
	if err != nil {
		return 0, err
	}
	return pick(input, map[string]float64{
		"scale in µm/m": known(g.Scale.PerMetreUM.Estimate), "growth of the spread in µm/m": known(g.Spread.PerMetreUM.Estimate),
	})
}
