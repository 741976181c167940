package interval

import (
	"fmt"
	"math"

	"plumbrule/rules/figure"
)

// OneInterval returns the interval in months at which a device meets the target, from the share observed in tolerance at the
// end of one length of interval: t* = t·ln(target)/ln(observed).
//
// There is none, with the reason, when the share observed is 0 or 1: use the confidence limits of [Fit.IntervalFor] then.
// An [*InputError] names months outside 0.01 … 1200 or a share outside [0, 1].
//
// Source: the exponential model R(t) = e^(−λt) (formula common; that recommended practices name it as one model among
// several is from memory).
func OneInterval(months, observed, target float64) (Figure, error) {
	if err := checkMonths("months", months); err != nil {
		return Figure{}, err
	}
	if err := checkShare("target", target); err != nil {
		return Figure{}, err
	}
	switch observed {
	case 0:
		return figure.Absent(noneIn), nil
	case 1:
		return figure.Absent(allIn), nil
	}
	if err := checkShare("observed", observed); err != nil {
		return Figure{}, err
	}
	return figure.Known(months * math.Log(target) / math.Log(observed)), nil
}

const (
	allIn  = "all outcomes were in tolerance, so no rate of failure can be estimated, only bounded"
	noneIn = "no outcome was in tolerance, so any rate of failure is possible above a bound"
)

// Fit is the exponential model R(t) = e^(−λt) fitted to outcomes by maximum likelihood.
//
// It supposes one constant rate for all devices and all ages: no wear, no early failures, no device worse than the others,
// and that each calibration starts afresh.
type Fit struct {
	Groups      []Group
	Trials      int
	InTolerance int

	// RatePerMonth is λ, absent when no outcome was in tolerance, 0 when all were.
	RatePerMonth Figure
	// StandardError of λ from the observed information, absent when λ is absent or 0. It describes the curvature of the
	// likelihood; the limits of [Fit.IntervalFor] do not use it, because with few failures λ is far from normal.
	StandardError Figure
}

// mostFitted keeps the exact limits quick: their work grows with the square of the outcomes.
const mostFitted = 5000

// FitExponential fits the model to groups of outcomes, at one or several lengths of interval. Groups of equal length are
// allowed. An [*InputError] names a group that cannot be, no group at all, or more than 5000 outcomes.
//
// Source: maximum likelihood for the exponential model; the score Σ f·t/(e^(λt)−1) = Σ s·t with f outcomes out of and s in
// tolerance falls in λ, so its root is the only one.
func FitExponential(groups []Group) (Fit, error) {
	f := Fit{Groups: groups}
	if len(groups) == 0 {
		return Fit{}, &InputError{Field: "groups", Found: "empty", Expected: "the outcomes of at least one length of interval"}
	}
	var kept, missed float64 // months survived by those in tolerance; half the months of the others
	for i, g := range groups {
		if err := checkMonths(fmt.Sprintf("groups[%d].months", i), g.Months); err != nil {
			return Fit{}, err
		}
		if err := checkCounts(g.InTolerance, g.Trials, mostFitted); err != nil {
			return Fit{}, err
		}
		f.Trials += g.Trials
		f.InTolerance += g.InTolerance
		kept += float64(float64(g.InTolerance) * g.Months)
		missed += float64(float64(g.Trials-g.InTolerance)*g.Months) / 2
	}
	if f.Trials > mostFitted {
		return Fit{}, &InputError{Field: "groups", Found: fmt.Sprintf("%d outcomes", f.Trials), Expected: fmt.Sprintf("at most %d", mostFitted)}
	}
	failures := float64(f.Trials - f.InTolerance)
	switch {
	case f.InTolerance == 0:
		f.RatePerMonth, f.StandardError = figure.Absent(noneIn), figure.Absent(noneIn)
		return f, nil
	case failures == 0:
		f.RatePerMonth, f.StandardError = figure.Known(0), figure.Absent(allIn)
		return f, nil
	}
	// 1/x − 1/2 < 1/(e^x−1) < 1/x encloses the root.
	rate := root(failures/(kept+missed)/2, failures/kept*2, func(rate float64) float64 { return score(groups, rate) })
	f.RatePerMonth = figure.Known(rate)
	f.StandardError = figure.Known(1 / math.Sqrt(information(groups, rate)))
	return f, nil
}

// score is the derivative of the log-likelihood by the rate.
func score(groups []Group, rate float64) float64 {
	sum := 0.0
	for _, g := range groups {
		sum += float64(float64(g.Trials-g.InTolerance)*g.Months) / math.Expm1(rate*g.Months)
		sum -= float64(float64(g.InTolerance) * g.Months)
	}
	return sum
}

// information is the negative of its derivative.
func information(groups []Group, rate float64) float64 {
	sum := 0.0
	for _, g := range groups {
		// t²·e^x/(e^x−1)² written as (t/2 / sinh(x/2))², which does not overflow before it vanishes.
		half := g.Months / 2 / math.Sinh(rate*g.Months/2)
		sum += float64(float64(g.Trials-g.InTolerance) * half * half)
	}
	return sum
}

// root finds where a falling function crosses 0 between two positive bounds, by bisection of the logarithm.
func root(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		middle := math.Sqrt(low) * math.Sqrt(high)
		if middle <= low || middle >= high {
			break
		}
		if f(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Sqrt(low) * math.Sqrt(high)
}

// TargetInterval is the interval at which a fitted model meets a target, in months, with its confidence limits. A figure
// that does not exist says why.
type TargetInterval struct {
	Target, Confidence float64

	Months                                   Figure // estimate
	LowerMonths, UpperMonths                 Figure // two-sided limits
	OneSidedLowerMonths, OneSidedUpperMonths Figure
}

// IntervalFor returns the interval after which the target share is still in tolerance: t = −ln(target)/λ.
//
// The limits come from the exact limits of λ. With one length of interval those are the Clopper–Pearson limits of the share;
// with several they rest on the total of failures, whose law is the sum of the binomial ones, and hold at least the stated
// confidence. With all outcomes in tolerance only the lower limits exist, with none of them only the upper ones.
// An [*InputError] names a share outside (0, 1).
func (f Fit) IntervalFor(target, confidence float64) (TargetInterval, error) {
	if err := checkShare("target", target); err != nil {
		return TargetInterval{}, err
	}
	if err := checkShare("confidence", confidence); err != nil {
		return TargetInterval{}, err
	}
	t := TargetInterval{Target: target, Confidence: confidence}
	at := func(rate float64) Figure { return figure.Known(-math.Log(target) / rate) }
	switch f.InTolerance {
	case 0:
		t.Months = figure.Absent(noneIn)
	case f.Trials:
		t.Months = figure.Absent(allIn)
	default:
		t.Months = at(*f.RatePerMonth.Value)
	}
	alpha := 1 - confidence
	// The highest rate gives the shortest interval.
	if f.InTolerance == 0 {
		t.LowerMonths, t.OneSidedLowerMonths = figure.Absent(noneIn), figure.Absent(noneIn)
	} else {
		t.LowerMonths, t.OneSidedLowerMonths = at(f.highestRate(alpha/2)), at(f.highestRate(alpha))
	}
	if f.InTolerance == f.Trials {
		t.UpperMonths, t.OneSidedUpperMonths = figure.Absent(allIn), figure.Absent(allIn)
	} else {
		t.UpperMonths, t.OneSidedUpperMonths = at(f.lowestRate(alpha/2)), at(f.lowestRate(alpha))
	}
	return t, nil
}
