package published_test

import (
	"fmt"
	"strings"
	"testing"

	"plumbrule/rules/published"
)

func TestEveryGroupNamesItsSource(t *testing.T) {
	groups, err := published.Groups()
	if err != nil {
		t.Fatal(err)
	}
	known := map[published.Seen]bool{}
	for _, s := range published.SeenTexts() {
		known[s.Seen] = true
	}
	inputs := map[string]bool{}
	for _, g := range groups {
		if !known[g.Seen] {
			t.Errorf("%s: seen %q is no word for it", g.Computation, g.Seen)
		}
		for _, v := range g.Values {
			key := fmt.Sprintf("%s of %s: %s, %s", g.Computation, g.Publication, g.Title, v.Input)
			if inputs[key] {
				t.Errorf("%s stands twice", key)
			}
			inputs[key] = true
			if half := published.HalfUnit(v.Printed); !g.Words && v.Tolerance != half && v.Because == "" {
				t.Errorf("%s: tolerance %g without a reason, half a unit is %g", key, v.Tolerance, half)
			}
		}
	}
	if len(inputs) < 600 {
		t.Errorf("%d values only", len(inputs))
	}
}

func TestHalfUnit(t *testing.T) {
	for printed, want := range map[string]float64{"2.50": 0.005, "-19": 0.5, "0.95": 0.005, "1.25e-03": 5e-6, "3E2": 50, "25400": 0.5} {
		if got := published.HalfUnit(printed); fmt.Sprintf("%.6g", got) != fmt.Sprintf("%.6g", want) {
			t.Errorf("%s: %g, want %g", printed, got, want)
		}
	}
}

func TestWhatIsNotThereIsSaid(t *testing.T) {
	for _, c := range []struct {
		err  error
		says string
	}{
		{second(published.Column("norris.csv", "z")), `norris.csv has no column "z"`},
		{second(published.Column("linewidth-control.csv", "position")), "linewidth-control.csv, position, line 2"},
		{second(published.Table("nothing.csv")), "nothing.csv"},
		{second(published.Of("tea leaves")), `no figures of a computation "tea leaves"`},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.says) {
			t.Errorf("%v, want %q", c.err, c.says)
		}
	}
}

func second[T any](_ T, err error) error { return err }
