package conformity_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"plumbrule/rules/conformity"
)

func anyRule(t *rapid.T) conformity.Rule {
	return rapid.SampledFrom(conformity.Rules()).Draw(t, "rule").Rule
}

// rank orders verdicts from best to worst.
var rank = map[conformity.Verdict]int{
	conformity.Pass: 0, conformity.ConditionalPass: 1, conformity.Inconclusive: 2, conformity.ConditionalFail: 3, conformity.Fail: 4,
}

func TestLargerErrorNeverFaresBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := conformity.Case{
			ErrorUM:     rapid.Float64Range(0, 200).Draw(t, "error"),
			MPEUM:       rapid.Float64Range(0.1, 150).Draw(t, "mpe"),
			Uncertainty: &conformity.Uncertainty{ExpandedUM: rapid.Float64Range(0, 100).Draw(t, "U"), Factor: rapid.Float64Range(1, 4).Draw(t, "k")},
			Rule:        anyRule(t), OneSided: rapid.Bool().Draw(t, "one-sided"),
		}
		worse := c
		worse.ErrorUM += rapid.Float64Range(0, 100).Draw(t, "more")
		a, errA := conformity.Decide(c)
		b, errB := conformity.Decide(worse)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if rank[b.Verdict] < rank[a.Verdict] {
			t.Fatalf("%s at %g but %s at %g", a.Verdict, c.ErrorUM, b.Verdict, worse.ErrorUM)
		}
		if *b.ConformanceProbability.Value > *a.ConformanceProbability.Value+1e-15 {
			t.Fatalf("probability rises from %g to %g", *a.ConformanceProbability.Value, *b.ConformanceProbability.Value)
		}
		if c.OneSided {
			return
		}
		mirrored := c
		mirrored.ErrorUM = -c.ErrorUM
		if m, err := conformity.Decide(mirrored); err != nil || m.Verdict != a.Verdict || *m.ConformanceProbability.Value != *a.ConformanceProbability.Value {
			t.Fatalf("%s at %g but %s at its mirror (%v)", a.Verdict, c.ErrorUM, m.Verdict, err)
		}
	})
}

// Whatever comes in, there is a typed error or a verdict with finite figures, each present or explained.
func TestNothingUnbackedComesOut(t *testing.T) {
	number := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-100, 100), rapid.SampledFrom([]float64{0, 5e-324, 1e-300, math.MaxFloat64, math.Inf(1), math.Inf(-1), math.NaN()}))
	rapid.Check(t, func(t *rapid.T) {
		c := conformity.Case{
			ErrorUM: number.Draw(t, "error"), MPEUM: number.Draw(t, "mpe"),
			Rule: anyRule(t), OneSided: rapid.Bool().Draw(t, "one-sided"),
		}
		if rapid.Bool().Draw(t, "with uncertainty") {
			c.Uncertainty = &conformity.Uncertainty{ExpandedUM: number.Draw(t, "U"), Factor: number.Draw(t, "k")}
		}
		d, err := conformity.Decide(c)
		if err != nil {
			if _, ok := errors.AsType[*conformity.InputError](err); !ok {
				t.Fatalf("untyped error %v", err)
			}
			return
		}
		if _, known := rank[d.Verdict]; !known {
			t.Fatalf("verdict %q", d.Verdict)
		}
		for i, f := range []conformity.Figure{d.ExpandedUM, d.Ratio, d.AcceptanceLimitUM, d.RejectionLimitUM, d.ConformanceProbability} {
			if (f.Value == nil) == (f.Reason == "") {
				t.Fatalf("figure %d has value %v and reason %q", i, f.Value, f.Reason)
			}
			if f.Value != nil && !(*f.Value >= 0 && *f.Value <= math.MaxFloat64) {
				t.Fatalf("figure %d is %g", i, *f.Value)
			}
		}
		if p := d.ConformanceProbability.Value; p != nil && *p > 1 {
			t.Fatalf("probability %g", *p)
		}
	})
}

func FuzzParseRule(f *testing.F) {
	for _, r := range conformity.Rules() {
		f.Add(string(r.Rule))
	}
	f.Add("")
	f.Add("Simple ")
	f.Fuzz(func(t *testing.T, name string) {
		rule, err := conformity.ParseRule(name)
		if err == nil && string(rule) != name || err != nil && rule != "" {
			t.Errorf("ParseRule(%q) = %q, %v", name, rule, err)
		}
	})
}

func TestEveryRuleIsExplained(t *testing.T) {
	seen := map[conformity.Rule]bool{}
	for _, r := range conformity.Rules() {
		if r.Title == "" || r.Text == "" || r.Source == "" || seen[r.Rule] {
			t.Errorf("%+v lacks a part or comes twice", r)
		}
		seen[r.Rule] = true
		if got, err := conformity.ParseRule(string(r.Rule)); got != r.Rule || err != nil {
			t.Errorf("ParseRule(%q) = %q, %v", r.Rule, got, err)
		}
	}
	for _, r := range []conformity.Rule{conformity.Simple, conformity.ISO14253, conformity.GuardU, conformity.FourValued} {
		if !seen[r] {
			t.Errorf("%s is not explained", r)
		}
	}
}

func ExampleDecide() {
	d, err := conformity.Decide(conformity.Case{
		ErrorUM: 57, MPEUM: 65, Rule: conformity.ISO14253,
		Uncertainty: &conformity.Uncertainty{ExpandedUM: 10, Factor: 2},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: p = %.4f, passes up to %.3f µm\n", d.Verdict, *d.ConformanceProbability.Value, *d.AcceptanceLimitUM.Value)
	// Output: inconclusive: p = 0.9452, passes up to 56.776 µm
}
