package rules_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"plumbrule/rules"
	"plumbrule/rules/drift"
)

// Five points in different places have an exact interval at 95 %; with two in one place there is the approximation.
func TestRobustLineChoosesItsDistribution(t *testing.T) {
	x, y := []float64{0, 1, 2, 3, 4}, []float64{0, 1.1, 1.9, 3.2, 3.9}
	exact, err := drift.TheilSenExact(x, y, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if near, err := drift.TheilSen(x, y, 0.95); err != nil || cmp.Equal(near, exact) {
		t.Fatal("the points do not tell the two apart", err)
	}
	got, why := rules.RobustLine(x, y, 0.95)
	if diff := cmp.Diff(&exact, got); diff != "" || why != "" {
		t.Error(diff, why)
	}
	x[1] = 0
	roughly, err := drift.TheilSen(x, y, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	got, why = rules.RobustLine(x, y, 0.95)
	if diff := cmp.Diff(&roughly, got); diff != "" || why != "" {
		t.Error(diff, why)
	}
	if got, why := rules.RobustLine(x[:2], y[:2], 0.95); got != nil || !strings.Contains(why, "2 points") {
		t.Errorf("%v, %q", got, why)
	}
}
