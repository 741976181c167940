package interval_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"plumbrule/rules/interval"
)

// outcomes makes n of one device, of which the first k are in tolerance.
func outcomes(subject string, months float64, k, n int) []interval.Outcome {
	var out []interval.Outcome
	for i := range n {
		out = append(out, interval.Outcome{Subject: subject, Months: months, InTolerance: i < k})
	}
	return out
}

func kind(t *testing.T, plan interval.Plan, current float64, o []interval.Outcome) interval.Proposal {
	t.Helper()
	p, err := plan.Kind("bar", current, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Decisions as in TestCompareWithTarget; months by the closed forms of the exponential model.
func TestPlan(t *testing.T) {
	for _, c := range []struct {
		k, n   int
		target float64
		dir    interval.Direction
		want   float64 // NaN: none
		says   string
	}{
		{45, 50, 0.95, interval.Keep, 12, "no more than chance"},
		{42, 50, 0.95, interval.Shorten, 12 * math.Log(0.95) / math.Log(0.84), "missed by more than chance"},
		{18, 20, 0.95, interval.Keep, 12, "that takes 59 without a failure"},
		{16, 20, 0.95, interval.Shorten, 12 * math.Log(0.95) / math.Log(0.8), "missed"},
		{50, 50, 0.85, interval.Lengthen, 12 * 50 * math.Log(0.85) / math.Log(0.05), "exceeded by more than chance"},
		{5, 5, 0.95, interval.Keep, 12, "With 5 outcomes nothing can be shown, although all were in tolerance: that takes 59 without a failure."},
		{4, 5, 0.95, interval.Keep, 12, "A share below it is shown by 2 or more failures."}, // P(X ≤ 3 of 5) = 0.0226, P(X ≤ 4) = 0.226
		{1, 1, 0.90, interval.Keep, 12, "With 1 outcome nothing can be shown, neither"},     // P(X ≤ 0) = 0.1
		{0, 3, 0.95, interval.Shorten, math.NaN(), "None was in tolerance"},
		{0, 0, 0.95, interval.None, math.NaN(), "No outcome at about 12 months"},
	} {
		t.Run(fmt.Sprintf("%d of %d against %g", c.k, c.n, c.target), func(t *testing.T) {
			p := kind(t, interval.Plan{Target: c.target, Confidence: 0.95, SameWithin: 0.1}, 12, outcomes("bar-1", 12, c.k, c.n))
			if p.Direction != c.dir {
				t.Errorf("direction %s, want %s", p.Direction, c.dir)
			}
			if math.IsNaN(c.want) != (p.ProposedMonths == nil) {
				t.Errorf("proposed %v, want %g", p.ProposedMonths, c.want)
			} else if p.ProposedMonths != nil {
				near(t, "months", *p.ProposedMonths, c.want, 1e-9)
			}
			says(t, p, c.says)
			if c.n > 0 {
				near(t, "count", value(t, "count", evidence(t, p, interval.OutcomesCounted)), float64(c.n), 0)
				near(t, "share", value(t, "share", evidence(t, p, interval.ObservedShare)), float64(c.k)/float64(c.n), 0)
			}
			if (p.Confidence.Value != nil) != (c.dir == interval.Shorten || c.dir == interval.Lengthen) {
				t.Errorf("confidence %+v at %s", p.Confidence, p.Direction)
			}
		})
	}
}

func TestPlanLooksAtTheRightOutcomes(t *testing.T) {
	plan := interval.Plan{Target: 0.85, Confidence: 0.95, SameWithin: 0.1, Bounds: interval.Bounds{MaxMonths: 24}}
	all := append(outcomes("bar-1", 12, 50, 50), outcomes("bar-2", 13.2, 3, 3)...)
	all = append(all, outcomes("bar-3", 14, 1, 1)...)
	p := kind(t, plan, 12, all)
	near(t, "at about 12 months", value(t, "n", evidence(t, p, interval.OutcomesCounted)), 53, 0)
	near(t, "elsewhere", value(t, "n", evidence(t, p, interval.OutcomesElsewhere)), 1, 0)
	near(t, "devices", value(t, "n", evidence(t, p, interval.Devices)), 2, 0)
	near(t, "months", proposed(t, p), 24, 0)
	says(t, p, "upper bound")
	says(t, p, "longer than 14 months")

	own, err := plan.Device("bar-2", 12, all)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "own outcomes", value(t, "n", evidence(t, own, interval.OutcomesCounted)), 3, 0)
	if own.Direction != interval.Keep || own.Subject != "bar-2" {
		t.Errorf("got %+v", own)
	}

	// 1.1 − 1 is a little more than 0.1.
	p = kind(t, interval.Plan{Target: 0.85, Confidence: 0.95, SameWithin: 0.1}, 1, outcomes("bar-1", 1.1, 3, 3))
	near(t, "at about 1 month", value(t, "n", evidence(t, p, interval.OutcomesCounted)), 3, 0)

	// 60 good years against 15 of 20 lost after a quarter: the model must not turn that into a longer interval.
	torn := kind(t, plan, 12, append(outcomes("bar-1", 12, 60, 60), outcomes("bar-9", 3, 5, 20)...))
	if torn.Direction != interval.Keep || proposed(t, torn) != 12 {
		t.Errorf("got %s, %v", torn.Direction, torn.ProposedMonths)
	}
	says(t, torn, "find out why the intervals differ")
	says(t, torn, "bar-9 has 15 of the 15 failures in 20 of 80 outcomes")

	// And many good quarters must not soften a failure at the year: 8 of 20 alone give 12·ln 0.85/ln 0.4.
	short := kind(t, plan, 12, append(outcomes("bar-1", 12, 8, 20), outcomes("bar-1", 3, 300, 300)...))
	near(t, "months", proposed(t, short), 12*math.Log(0.85)/math.Log(0.4), 1e-9)
}

// Fisher's exact test, by hand: 4 failures of which one device with 6 of 24 outcomes has all 4:
// C(6,4)/C(24,4) = 15/10626 = 0.00141, times 4 devices 0.0056. With 3 of the 4: (20·18 + 15)/10626 = 0.0353, times 4 not
// significant.
func TestKindNamesTheOddDevice(t *testing.T) {
	plan := interval.Plan{Target: 0.8, Confidence: 0.95, SameWithin: 0.1}
	rest := func(lost int) []interval.Outcome {
		return append(append(outcomes("b", 12, 6-lost, 6), outcomes("c", 12, 6, 6)...), outcomes("d", 12, 6, 6)...)
	}
	says(t, kind(t, plan, 12, append(outcomes("a", 12, 2, 6), rest(0)...)), "a has 4 of the 4 failures in 6 of 24 outcomes")
	p := kind(t, plan, 12, append(outcomes("a", 12, 3, 6), rest(1)...))
	if strings.Contains(strings.Join(p.Reasons, " "), "a has") {
		t.Errorf("named by chance: %q", p.Reasons)
	}
}

// With 60 outcomes a target of 95 % could have been shown to be exceeded, so nothing is said about small numbers.
func TestEnoughOutcomes(t *testing.T) {
	p := kind(t, interval.Plan{Target: 0.95, Confidence: 0.95}, 12, outcomes("a", 12, 58, 60))
	if p.Direction != interval.Keep || len(p.Reasons) != 2 || !strings.HasPrefix(p.Reasons[1], "The share in tolerance lies between") {
		t.Errorf("got %s, %q", p.Direction, p.Reasons)
	}
}

func TestPlanRefuses(t *testing.T) {
	good := interval.Plan{Target: 0.95, Confidence: 0.95, SameWithin: 0.1}
	for want, change := range map[string]func(*interval.Plan) (float64, []interval.Outcome){
		"current_months is 0":      func(*interval.Plan) (float64, []interval.Outcome) { return 0, nil },
		"target is 95":             func(p *interval.Plan) (float64, []interval.Outcome) { p.Target = 95; return 12, nil },
		"confidence is 0.4":        func(p *interval.Plan) (float64, []interval.Outcome) { p.Confidence = 0.4; return 12, nil },
		"same_within is 0.7":       func(p *interval.Plan) (float64, []interval.Outcome) { p.SameWithin = 0.7; return 12, nil },
		"outcomes[0]: months is 0": func(*interval.Plan) (float64, []interval.Outcome) { return 12, make([]interval.Outcome, 1) },
		"outcomes is 5001":         func(*interval.Plan) (float64, []interval.Outcome) { return 12, make([]interval.Outcome, 5001) },
		"outcomes[0]: ratio is -1": func(*interval.Plan) (float64, []interval.Outcome) {
			return 12, []interval.Outcome{{Months: 12, Ratio: new(-1.0)}}
		},
		"min_months is 12, expected at most ": func(p *interval.Plan) (float64, []interval.Outcome) {
			p.Bounds = interval.Bounds{MinMonths: 12, MaxMonths: 6}
			return 12, nil
		},
	} {
		plan := good
		current, o := change(&plan)
		if _, err := plan.Kind("bar", current, o); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %s …", err, want)
		}
	}
}
