package sample

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/rules/figure"
)

// OutlierSearch is the outcome of a test for up to a stated number of outliers.
type OutlierSearch struct {
	// Steps are the tests, one for each suspect, in the order of removal. There are fewer than were asked for if the
	// values left over are all the same; Reservation says so.
	Steps []OutlierTest
	// Outliers are the first of the Steps that count as outliers: all up to the last one beyond its critical value. A
	// step among them may itself be within its own, when two outliers hid behind each other.
	Outliers []Extreme
	// Reservation is a sentence on how far the result can be trusted, or empty.
	Reservation string
}

// The sample sizes from which Rosner's approximation of the critical values is very accurate and reasonably accurate
// (e-Handbook 1.3.5.17.3).
const (
	accurateFrom = 25
	usableFrom   = 15
)

// Rosner looks for up to most outliers of a normal sample, on either side, at the significance level alpha: the
// probability, 0.000001 … 0.5, that a sample without outliers is said to have any (generalised extreme studentised
// deviate). The number of outliers found does not depend on most as long as it is not less.
//
// An error is returned for fewer than 3 values, one that is not finite, an alpha out of range, and a most below 1 or
// above half of the number of values: what is more than half of a sample is not its outliers.
//
// Source: Rosner (1983), Technometrics 25, 165–172; e-Handbook 1.3.5.17.3.
func Rosner(values []float64, most int, alpha float64) (OutlierSearch, error) {
	if err := check(values, 3); err != nil {
		return OutlierSearch{}, err
	}
	if err := checkSignificance(alpha); err != nil {
		return OutlierSearch{}, err
	}
	if most < 1 || most > len(values)/2 {
		return OutlierSearch{}, fmt.Errorf("a search for up to %d outliers among %d values, expected 1 to %d", most, len(values), len(values)/2)
	}
	left := slices.Clone(values)
	places := make([]int, len(values))
	for i := range places {
		places[i] = i
	}
	var out OutlierSearch
	found := 0
	for len(out.Steps) < most {
		m := measure(left)
		if m.constant {
			out.Reservation = fmt.Sprintf("the search ended after %d of %d suspects: the %d values left are all the same", len(out.Steps), most, len(left))
			break
		}
		i := m.farthest(EitherSide)
		n := float64(len(left))
		statistic := math.Abs(m.deviations[i]) / m.sd
		step := OutlierTest{
			Suspect:   Extreme{places[i], left[i]},
			Statistic: figure.Known(statistic),
			Critical:  farthest(n, alpha/n/2),
		}
		step.Outlier = statistic > step.Critical
		out.Steps = append(out.Steps, step)
		if step.Outlier {
			found = len(out.Steps)
		}
		left, places = slices.Delete(left, i, i+1), slices.Delete(places, i, i+1)
	}
	for _, step := range out.Steps[:found] {
		out.Outliers = append(out.Outliers, step.Suspect)
	}
	if out.Reservation == "" {
		out.Reservation = reservation(len(values))
	}
	return out, nil
}

func reservation(n int) string {
	switch {
	case n < usableFrom:
		return fmt.Sprintf("the critical values are approximate and not to be relied on for %d values; they are from %d", n, usableFrom)
	case n < accurateFrom:
		return fmt.Sprintf("the critical values are only reasonably accurate for %d values; they are very accurate from %d", n, accurateFrom)
	default:
		return ""
	}
}
