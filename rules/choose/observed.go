package choose

import (
	"fmt"
	"math"
	"slices"

	"plumbrule/records"
	"plumbrule/records/calendar"
	"plumbrule/rules"
	"plumbrule/rules/conformity"
	"plumbrule/rules/figure"

	"gonum.org/v1/gonum/stat/distuv"
)

// Observed is what checks have found since the last adjustment or repair, brought to the length that is needed. Beside a
// constant limit errors count as they are. Beside one that grows they count as parts of the limit they were found beside, and
// nothing is said about lengths longer than any that was checked, nor where a cap has bent the limit.
type Observed struct {
	Errors   int // mean errors of readings behind the figures
	Checks   int // of which they come
	From, To calendar.Date
	LongestM float64 // longest length checked, where the limit grows; 0 otherwise
	// Outside is how many of the errors lay outside the limit they were found beside, and FarthestUM, as it was found, the one
	// farthest outside; an interval for most errors says nothing about them.
	Outside    int
	FarthestUM float64
	// MeanUM is the mean error; one further error lies between LowerUM and UpperUM with 95 % probability if errors are normal and
	// independent: mean ± t(n-1)·s·√(1 + 1/n).
	MeanUM, LowerUM, UpperUM figure.Figure
}

// leastErrors is from how many errors on a spread is stated. Common practice, no source.
const leastErrors = 5

// observe sums up the errors found beside a limit, for the length that is needed and the limit there.
func observe(list []rules.Observed, limit *records.Limit, lengthM, mpeUM float64, day func(*records.Check) calendar.Date) Observed {
	o := Observed{Errors: len(list)}
	absent := func(format string, args ...any) Observed {
		f := figure.Absentf(format, args...)
		o.MeanUM, o.LowerUM, o.UpperUM = f, f, f
		return o
	}
	if len(list) == 0 {
		return absent("no check is evidence for this limit since the last adjustment or repair")
	}
	scaled := make([]float64, len(list))
	var checks []*records.Check
	farthest := 0.0
	for i, e := range list {
		if !slices.Contains(checks, e.Check) {
			checks = append(checks, e.Check)
		}
		scaled[i] = e.ErrorUM
		if excess := math.Abs(e.ErrorUM) - e.MPEUM; excess > conformity.TieUM {
			o.Outside++
			if excess > farthest {
				farthest, o.FarthestUM = excess, e.ErrorUM
			}
		}
		if limit.MPE.GrowsWithLength() {
			o.LongestM = math.Max(o.LongestM, e.Length.Metres())
			scaled[i] = e.ErrorUM / e.MPEUM * mpeUM
		}
	}
	o.Checks, o.From, o.To = len(checks), day(checks[0]), day(checks[len(checks)-1])
	if limit.MPE.GrowsWithLength() {
		if bound, capped := limit.MPE.Bound(); capped {
			return absent("the limit is capped at %s, and errors under the cap do not tell of others", bound)
		}
		if lengthM > o.LongestM {
			return absent("checked up to %.4g m, and nothing is known beyond", o.LongestM)
		}
	}
	if len(list) < leastErrors {
		return absent("%d errors, expected at least %d", len(list), leastErrors)
	}
	mean, s := meanAndDeviation(scaled)
	n := float64(len(scaled))
	reach := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}.Quantile(0.975) * s * math.Sqrt(1+1/n)
	o.MeanUM, o.LowerUM, o.UpperUM = figure.Known(mean), figure.Known(mean-reach), figure.Known(mean+reach)
	return o
}

// meanAndDeviation returns the mean and the standard deviation with n-1.
func meanAndDeviation(values []float64) (mean, s float64) {
	for _, v := range values {
		mean += v
	}
	mean /= float64(len(values))
	for _, v := range values {
		s += float64((v - mean) * (v - mean))
	}
	return mean, math.Sqrt(s / float64(len(values)-1))
}

// Beyond says how what was observed stands to the bound; empty where it is inside.
func (o *Observed) Beyond(boundUM float64) string {
	if o.UpperUM.Value == nil || math.Max(math.Abs(*o.LowerUM.Value), math.Abs(*o.UpperUM.Value)) <= boundUM {
		return ""
	}
	return fmt.Sprintf("its checks let one expect errors from %.1f µm to %.1f µm, beyond the bound", *o.LowerUM.Value, *o.UpperUM.Value)
}
