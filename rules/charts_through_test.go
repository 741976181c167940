package rules_test

import (
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/chart"
)

// The same records seen through charts of another kind: the points are the same checks, the chart is the other, and where
// it cannot be one it is said.
func TestChartsThrough(t *testing.T) {
	set, _ := records.Load(os.DirFS("../examples/propeller-works"), records.Options{})
	at := time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC)
	plain := rules.ChartsOf(set, at, rules.Options{}, "scan-02")
	if len(plain) < 2 {
		t.Fatalf("%d charts of scan-02", len(plain))
	}
	for _, kind := range chart.Kinds() {
		seen := rules.ChartsThrough(set, at, rules.Options{}, "scan-02", func(s chart.Settings) chart.Settings {
			s.Kind = kind
			return s
		})
		if len(seen) != len(plain) {
			t.Fatalf("%s: %d charts, want %d", kind, len(seen), len(plain))
		}
		for i, s := range seen {
			if diff := cmp.Diff(plain[i].ErrorsUM, s.ErrorsUM); diff != "" {
				t.Errorf("%s, chart %d: errors (want, got):\n%s", kind, i, diff)
			}
			if (s.Kind == kind) != (s.Instead == "") || s.Kind != s.Result.Kind || s.Kind != s.Settings.Kind {
				t.Errorf("%s, chart %d: kind %s of settings %s and result %s, instead because %q", kind, i, s.Kind, s.Settings.Kind, s.Result.Kind, s.Instead)
			}
			if !chart.Sampled(kind) && s.Instead != "" {
				t.Errorf("%s, chart %d: %s", kind, i, s.Instead)
			}
		}
	}
	if again := rules.ChartsThrough(set, at, rules.Options{}, "scan-02", nil); len(again) != len(plain) || again[0].Kind != chart.KindIndividuals {
		t.Errorf("without a change: %d charts, kind %s", len(again), again[0].Kind)
	}
}
