package audit

import (
	"fmt"
	"slices"

	"plumbrule/records"
	"plumbrule/rules"
)

// intervals reports calibration intervals that ran to their end at least once
// and that nobody ever gave a reason for.
func (f *finder) intervals() {
	for _, id := range f.subjects() {
		var plan records.CalibrationPlan
		var file string
		switch d, a := f.Set.Devices[id], f.Set.Artifacts[id]; {
		case d != nil:
			plan, file = d.Calibration, d.File
		case a != nil:
			plan, file = a.Calibration, a.File
		default:
			continue
		}
		justified := func(e *records.Event) bool { return e.Kind == records.IntervalChange && e.Of == records.OfCalibration }
		if plan.NotRequired != "" || slices.ContainsFunc(f.known.Events[id], justified) {
			continue
		}
		days := map[string]bool{}
		for _, a := range f.acceptances(id) {
			if !a.From.IsZero() {
				days[a.Certificate.Date.String()] = true
			}
		}
		if n := len(days); n > 1 {
			f.add("interval-never-justified", id, fmt.Sprintf("calibrated %d times every %s, and no event says why", n, plan.Interval), rules.Source{File: file, Line: plan.Line})
		}
	}
}

// decisionRules reports procedures in use whose decision rule nobody named or agreed.
func (f *finder) decisionRules() {
	used := map[string]bool{}
	for _, id := range f.devices {
		if d := f.Set.Devices[id]; d != nil {
			for i := range d.Checks {
				used[d.Checks[i].Procedure] = true
			}
		}
		for _, k := range f.known.Checks[id] {
			if f.within(k.Time) {
				used[k.Procedure] = true
			}
		}
	}
	for _, id := range sortedKeys(used) {
		p := f.Set.Procedures[id]
		if p == nil {
			continue // said as a record that cannot be used
		}
		source := rules.Source{File: p.File, Line: p.RuleLine}
		if p.DecisionRule == "" && (f.Set.Site == nil || f.Set.Site.Decision.RuleLine == 0) {
			f.add("rule-not-named", id, "no decision rule is named for "+id, source)
		}
		if p.Agreed.IsZero() {
			f.add("rule-not-agreed", id, fmt.Sprintf("when the decision rule of %s was agreed is not recorded", id), source)
		}
	}
}
