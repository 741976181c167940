package rules_test

import (
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/rules"
)

// The artifacts of the example works on a morning: when they fall due, and whether a check made with them would count.
func TestArtifacts(t *testing.T) {
	set, diagnostics := records.Load(os.DirFS("../examples/propeller-works"), records.Options{})
	if records.HasErrors(diagnostics) {
		t.Fatal(diagnostics)
	}
	type row struct{ ID, State, Due, Objection string }
	for _, c := range []struct {
		at   string
		want []row
	}{
		{"2026-11-02T07:00:00+01:00", []row{
			{"bar-2500", "ahead", "2027-03-03", ""},
			{"bar-800", "ahead", "2027-01-21", ""},
			{"blocks-01", "ahead", "2027-03-05", ""},
			// Its certificate of 2024-10-14 with 24 months to the day ended on 2026-10-14.
			{"ring-50", "overdue", "2026-10-14", "its calibration of 2024-10-14 ran out on 2026-10-14"},
		}},
		// To the day means through its end at the works: 2026-10-14 still counts.
		{"2026-10-14T23:59:59+02:00", []row{
			{"bar-2500", "ahead", "2027-03-03", ""},
			{"bar-800", "ahead", "2027-01-21", ""},
			{"blocks-01", "ahead", "2027-03-05", ""},
			{"ring-50", "due soon", "2026-10-14", ""},
		}},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		var got []row
		for _, a := range rules.Evaluate(set, at, rules.Options{}).Artifacts {
			got = append(got, row{a.ID, string(a.Calibration.State), a.Calibration.Date.String(), a.Objection})
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("at %s (-want +got)\n%s", c.at, diff)
		}
	}
}
