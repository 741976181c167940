package main

import (
	"testing"

	"plumbrule/cmd/plumbrule/internal/table"
	"plumbrule/records"
	"plumbrule/rules"
	"plumbrule/rules/figure"
	"plumbrule/rules/impact"
)

// The pack never shows a share as if it were the whole answer where something else has no bound.
func TestPackSaysWhatHasNoBound(t *testing.T) {
	for want, e := range map[string]impact.Effect{
		"80":                           {Most: figure.Known(0.8)},
		"80, and more without a bound": {Most: figure.Known(0.8), Unbounded: true},
		"no bound":                     {Most: figure.Absent("the job states no tolerance"), Unbounded: true},
	} {
		e.Job = &records.Job{ID: "p-2624"}
		var rows table.Table
		(&audited{}).doubtfulJob(&rows, &rules.Device{ID: "scan-03"}, &e)
		if got := rows.Rows[0][4].Shown; got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
